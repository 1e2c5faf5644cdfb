# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The tracks of the bench, their truth, and which half is set aside. Media is made once, into the cache folder."""
import hashlib
import json
import os
import random
import struct
import subprocess
from dataclasses import dataclass, field

import numpy as np
import scipy.io.wavfile

import flat_midi
import own_songs
import own_synth
import smf
from tracks import GAME_SONGS, LOOPS, MUSIC_SONGS, PATTERNS

SEED = 20250917  # draws the half that is set aside; changing it would open that half
MUSIC_FOLDER = "/usr/share/games/openttd/baseset/openmsx"
LOOP_FOLDER = "/usr/share/sonic-pi/samples"
CODECS = {"mp3": ("mp3", ["-c:a", "libmp3lame", "-b:a", "192k"]), "aac": ("m4a", ["-c:a", "aac", "-b:a", "160k"]),
          "opus": ("opus", ["-c:a", "libopus", "-b:a", "128k"])}
# The wide set's, name_kilobits.
CODECS |= {f"{name}_{kilobits}": (CODECS[name][0], CODECS[name][1][:-1] + [f"{kilobits}k"])
           for name, rates in (("mp3", (96, 128, 320)), ("aac", (64, 96, 160)), ("opus", (48, 64, 128))) for kilobits in rates}
SOURCES = ("own_songs.py", "own_synth.py", "flat_midi.py", "corpus.py")  # what a rendered track depends on
RATE_HZ = 44100


@dataclass
class Track:
    name: str
    family: str  # pattern, map (a packaged song's tempo map) or loop; wide.py has its own
    source: dict
    steady: bool  # one tempo, and the truth exact to the millisecond
    held: bool = False
    song: str = ""  # what downball is given
    wav: str = ""  # what the peers are given: the same, decoded where it is coded
    beats: np.ndarray = field(default_factory=lambda: np.zeros(0))
    downbeats: np.ndarray = None  # None where the truth does not say
    seconds: float = 0


def tracks(game_folder):
    out = [Track(name, "pattern", dict(how), "tempo" not in how and not how.get("drift") and not how.get("feel_s"))
           for name, how in PATTERNS.items()]
    out += [music_track(name) for name in MUSIC_SONGS]
    for name, limit_s in GAME_SONGS.items():
        out.append(_map_track("game_" + name, lump(os.path.join(game_folder, "freedoom1.wad"), name), limit_s))
    out += [loop_track(name) for name in LOOPS]
    for family in ("pattern", "map", "loop"):
        held = held_names(family, [t.name for t in out if t.family == family])
        for t in out:
            t.held = t.held or t.family == family and t.name in held
    return out


def held_names(family, names):
    """The half of a family that is set aside."""
    names = sorted(names)
    random.Random(f"{SEED}/{family}").shuffle(names)
    return set(names[:len(names) // 2])


def development(family):
    """Names of the other half, sorted, of the families `map` and `loop`; reads no media."""
    names = [*MUSIC_SONGS, *("game_" + name for name in GAME_SONGS)] if family == "map" else list(LOOPS)
    return sorted(set(names) - held_names(family, names))


def music_track(name):
    """One of MUSIC_SONGS."""
    with open(os.path.join(MUSIC_FOLDER, name + ".mid"), "rb") as file:
        return _map_track(name, file.read(), MUSIC_SONGS[name])


def loop_track(name):
    return Track(name, "loop", {"loop": name, "beats": LOOPS[name]}, False)


def _map_track(name, data, limit_s):
    song = smf.Song(data)
    return Track(name, "map", {"data": data, "limit_s": limit_s, "bars_known": bool(song.metres)},
                 len(set(song.tempi.values())) == 1)


def lump(path, name):
    """One entry of a WAD archive: a directory of (offset, size, name of 8 bytes)."""
    with open(path, "rb") as file:
        data = file.read()
    count, at = struct.unpack("<II", data[4:12])
    for i in range(count):
        offset, size, label = struct.unpack("<II8s", data[at + 16 * i:at + 16 * i + 16])
        if label.rstrip(b"\0").decode("latin1") == name:
            return data[offset:offset + size]
    raise SystemExit(f"{path}: no entry {name}; the bench knows freedoom 0.12.1")


def font_delay_s(folder, font=flat_midi.SOUND_FONT):
    """How long after a note is called for its sound begins: median of kick, snare and hi-hat, measured, the first
    sample over 1 % of the peak. Sound font, player and its blocks of 64 samples together."""
    midi, wav = os.path.join(folder, "delay.mid"), os.path.join(folder, "delay.wav")
    asked = [(1 + 0.7517 * i, key) for i, key in enumerate([36, 38, 42] * 8)]
    flat_midi.play([(t, 1, bytes([0x99, key, 100])) for t, key in asked], 30, midi, wav, font=font)
    rate, samples = scipy.io.wavfile.read(wav)
    loud = np.abs(samples.astype(float)).max(axis=1)
    delays = []
    for t, _ in asked:
        window = loud[round((t - 0.01) * rate):round((t + 0.2) * rate)]
        delays.append(np.argmax(window > 0.01 * window.max()) / rate - 0.01)
    return float(np.median(delays))


def make(track, folder, delay_s, render=None, files=SOURCES):
    """Renders the track if it is not in `folder` yet and fills in its truth. `render(track, stem, delay_s)` gives the
    beats; `files` are the sources it depends on."""
    sources = b"".join(open(os.path.join(os.path.dirname(__file__), f), "rb").read() for f in files)
    stamp = hashlib.sha256(sources + repr(sorted(track.source.items(), key=str)).encode() + str(delay_s).encode()).hexdigest()
    stem = os.path.join(folder, track.name)
    extension, how = CODECS.get(track.source.get("codec"), ("wav", None))
    track.wav, track.song, note = stem + ".wav", f"{stem}.{extension}", stem + ".json"
    kept = json.load(open(note)) if os.path.exists(note) else {}
    if kept.get("stamp") != stamp:
        kept = {"stamp": stamp, "beats": (render or _render)(track, stem, delay_s)}
        if how:
            ffmpeg("-i", track.wav, *how, track.song)
            ffmpeg("-i", track.song, "-ar", str(RATE_HZ), "-c:a", "pcm_s16le", track.wav)  # delay of the codec taken off
        with open(stem + ".beats", "w") as file:
            file.writelines(f"{t:.6f}\t{p}\n" for t, p in kept["beats"])
        with open(note, "w") as file:
            json.dump(kept, file)
    track.beats = np.array([t for t, _ in kept["beats"]])
    if track.source.get("bars_known", True):
        track.downbeats = np.array([t for t, p in kept["beats"] if p == 1])
    track.seconds = os.path.getsize(track.wav) / (4 * RATE_HZ)


def ffmpeg(*words):
    subprocess.run(["ffmpeg", "-v", "error", "-nostdin", "-y", *words], check=True)


def _render(track, stem, delay_s):
    source = track.source
    if track.family == "loop":
        return _repeat_loop(source, track.wav)
    if track.family == "map":
        beats, end_s = beats_of_map(source["data"], source["limit_s"])
        flat_midi.play(flat_midi.of_song(source["data"]), end_s, stem + ".mid", track.wav)
        cut(track.wav, end_s + 2, 0)
        return [(t + delay_s, p) for t, p in beats]
    how = {k: v for k, v in source.items() if k not in ("by", "codec", "fade_s", "style", "bpm", "bars")}
    score = own_songs.write(source["style"], source["bpm"], source["bars"], SEED, **how)
    if source["by"] == "font":
        flat_midi.play(flat_midi.of_score(score), score.end_s, stem + ".mid", track.wav)
        cut(track.wav, score.end_s + 2, source.get("fade_s", 0))
        return [(t + delay_s, p) for t, p in score.beats]
    write_wav(track.wav, own_synth.render(score, RATE_HZ, SEED), source.get("fade_s", 0), score.end_s)
    return score.beats


def write_wav(path, samples, fade_s, end_s):
    if fade_s:
        at = np.arange(len(samples)) / RATE_HZ
        samples = samples * np.clip((end_s - at) / fade_s, 0, 1)[:, None]
    scipy.io.wavfile.write(path, RATE_HZ, np.round(32767 * np.clip(samples, -1, 1)).astype(np.int16))


def cut(path, end_s, fade_s):
    _, samples = scipy.io.wavfile.read(path)
    write_wav(path, samples[:round(end_s * RATE_HZ)] / 32768, fade_s, end_s - 2)


def beats_of_map(data, limit_s):
    """Beats and positions from the first note to the last one that begins before the limit; where that is."""
    song = smf.Song(data)
    first = song.seconds(song.notes[0][0])
    last = max(t for t in (song.seconds(n[0]) for n in song.notes) if t < limit_s)
    metres = sorted(song.metres.items()) or [(0, (4, 4))]
    if metres[0][0] > 0:
        metres.insert(0, (0, (4, 4)))
    out = []
    for i, (start, (count, unit)) in enumerate(metres):
        end = metres[i + 1][0] if i + 1 < len(metres) else song.last_tick + 1
        compound = unit == 8 and count % 3 == 0
        step = song.ticks_a_quarter * 4 / unit * (3 if compound else 1)
        count = count // 3 if compound else count
        k = 0
        while start + k * step < end:
            t = song.seconds(start + k * step)
            if first - 0.03 <= t <= last:
                out.append((t, k % count + 1))
            k += 1
    return out, last + 0.05


def _repeat_loop(source, path):
    """The loop, end to start without a gap, for 45 s; a loop cut to be repeated begins on a beat."""
    one = path[:-4] + "_one.wav"
    ffmpeg("-i", os.path.join(LOOP_FOLDER, source["loop"] + ".flac"), "-ac", "2", "-ar", str(RATE_HZ), "-c:a", "pcm_s16le", one)
    _, samples = scipy.io.wavfile.read(one)
    os.remove(one)
    times = max(2, int(45 * RATE_HZ / len(samples)))
    scipy.io.wavfile.write(path, RATE_HZ, np.tile(samples, (times, 1)))
    period = len(samples) / RATE_HZ / source["beats"]
    return [(i * period, i % 4 + 1) for i in range(times * source["beats"])]
