# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""A day of footage and a song from Debian packages, with the truth about both.

The hits are all sounds of the four games' packages that are by their name one hit of a ball and that begin
out of silence. The song is, of the packaged ones in 4/4 with a single tempo of 100-140 a minute and drums from
the first bar, the one with most drum notes a beat: lively and steady, and not at the 120 that is expected most.
"""
import os
import subprocess
import zipfile

import numpy as np

import smf
import sound_bank
from run_tool import need

GAMES = "/usr/share/games"
TENNIS = "/usr/share/sounds/freetennis-common/sfx"
HITS = [(f"{GAMES}/etw/snd/pass.wav", "etw-data"), (f"{GAMES}/etw/snd/shot.wav", "etw-data"),
        (f"{TENNIS}/palla.wav", "freetennis-common"), (f"{TENNIS}/palla pesante.wav", "freetennis-common"),
        (f"{TENNIS}/palla leggera.wav", "freetennis-common"),
        (f"{GAMES}/tuxfootball/sound/kick.wav", "tuxfootball"),
        (f"{GAMES}/tuxfootball/sound/bounce.wav", "tuxfootball")]
HIT_ARCHIVE = ("/usr/share/blobby/sounds.zip", "sounds/bums.wav", "blobby-data")
CROWD = (f"{GAMES}/etw/snd/fondo.wav", "etw-data")
CHEER = (f"{GAMES}/etw/snd/crowd.wav", "etw-data")
WHISTLE = (f"{GAMES}/etw/snd/fischiocorto.wav", "etw-data")
SONG = (f"{GAMES}/openttd/baseset/openmsx/no_work_song_redfarn.mid", "openttd-openmsx")
SOUNDFONT = ("/usr/share/sounds/sf2/FluidR3_GM.sf2", "fluid-soundfont-gm")

BED_RMS = 0.02
SKILLS = {1: [["serve"], ["attack"], ["dig"], ["block"]], 2: [["set", "attack"], ["dig", "set"]],
          3: [["pass", "set", "attack"]]}
CAMERAS = [("C1", 25, ".mp4", None), ("C2", 50, ".mov", 10), ("C3", 25, ".mov", 12), ("C4", 50, ".mp4", 14)]


class Clip:
    def __init__(self, file, camera, kind, seconds, contacts, skills):
        self.file, self.camera, self.kind = file, camera, kind
        self.seconds, self.contacts, self.skills = seconds, contacts, skills
        self.start_s = 0.0  # clock of the start label, whole seconds
        self.snr_db = []


def render(midi, wav):
    subprocess.run(["fluidsynth", "-ni", "-q", "-g", "0.35", "-r", "48000", "-T", "wav", "-F", wav,
                    need(*SOUNDFONT), midi], check=True, capture_output=True)


def synth_delay_s(folder):
    """How late the synthesiser is with a drum note struck at 1.5 s: checks that tick 0 is sample 0."""
    midi, wav = os.path.join(folder, "one.mid"), os.path.join(folder, "one.wav")
    smf.write_one_note(midi, quarter=3, channel=9, key=37, velocity=120)
    render(midi, wav)
    samples, rate = sound_bank.decode(wav)
    for path in (midi, wav):
        os.remove(path)
    return sound_bank.onset_s(samples, rate) - 1.5


def load_hits(folder):
    hits = [sound_bank.Hit(need(*hit)) for hit in HITS]
    archive, member, package = HIT_ARCHIVE
    with zipfile.ZipFile(need(archive, package)) as file:
        path = file.extract(member, folder)
    hits.append(sound_bank.Hit(path))
    os.remove(path)
    os.rmdir(os.path.dirname(path))
    return hits


def plan(random, actions, cutaways):
    """Clips without media yet: how long, what happens when. Contacts keep 0.7 s from each other."""
    clips = []
    for index in range(actions + cutaways):
        camera, _, ending, _ = CAMERAS[index % len(CAMERAS)]
        count = int(random.integers(1, 4)) if index < actions else 0
        contacts, at = [], float(random.uniform(1.2, 2.2))
        for _ in range(count):
            contacts.append(at)
            at += float(random.uniform(0.7, 1.5))
        seconds = (contacts[-1] if contacts else 2.0) + float(random.uniform(1.2, 2.4))
        kind = "action" if count else ["cutaway", "reaction"][index % 2]
        choices = SKILLS.get(count, [[]])
        skills = choices[int(random.integers(len(choices)))]
        clips.append(Clip(f"{camera}_{index + 1:04d}{ending}", camera, kind, round(seconds, 2), contacts, skills))
    return clips


def film(clips, folder, random, hits):
    """Lays the hits at 6-20 dB over surf and crowd, a whistle into every fourth clip, and writes the files."""
    crowd, _ = sound_bank.decode(need(*CROWD), sound_bank.RATE)
    cheer, _ = sound_bank.decode(need(*CHEER), sound_bank.RATE)
    whistle = sound_bank.Hit(need(*WHISTLE))
    os.makedirs(folder, exist_ok=True)
    cameras = {name: (fps, hour) for name, fps, _, hour in CAMERAS}
    for index, clip in enumerate(clips):
        bed = sound_bank.surf(random, clip.seconds, BED_RMS * 0.8)
        bed += sound_bank.looped(cheer if clip.kind == "reaction" else crowd, random, clip.seconds, BED_RMS * 0.6)
        if index % 4 == 3:  # away from the hits, so that a whistle taken for one cannot pass for it
            whistle.lay(bed, 0.3, BED_RMS * 3)
        for instant in clip.contacts:
            snr_db = float(random.uniform(6, 20))
            clip.snr_db.append(snr_db)
            hits[int(random.integers(len(hits)))].lay(bed, instant, BED_RMS * 10 ** (snr_db / 20))
        fps, hour = cameras[clip.camera]
        label = None
        if hour is not None:
            clip.start_s = hour * 3600.0 + index * 60
            label = f"{hour:02d}:{index:02d}:00:00"
        sound_bank.write_clip(os.path.join(folder, clip.file), np.clip(bed, -1, 1), fps, label)
