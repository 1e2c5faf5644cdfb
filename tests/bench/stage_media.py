# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""What the stages are measured on, made once and kept:
    stage_media.py long FOLDER SECONDS EACH    clips of surf and struck balls: EACH of AAC in MP4 and of PCM in MOV, beside
                                               1080p pictures, and of AAC in a transport stream
    stage_media.py song FILE                   three minutes of a song with a beat
    stage_media.py short FOLDER COUNT          so many clips of 1.2 s, no two alike, of two cameras that film the same rallies
A process of its own, since numpy makes whoever measures large."""
import datetime
import os
import struct
import subprocess
import sys

import numpy as np

import form_song
import small_day
import sound_bank
from sound_bank import RATE

SHORT_S, RALLY_S, BEHIND_S = 1.2, 20, 7  # a short clip; between two rallies; how far the second camera's clock is behind


def ffmpeg(*words):
    subprocess.run(["ffmpeg", "-nostdin", "-v", "error", "-y", *map(str, words)], check=True)


def song(path, seconds):
    """The song of the form tests, its bars again and again."""
    once = np.asarray(form_song.make())
    begin, bars = (int(at * form_song.RATE) for at in (form_song.OFFSET_S, len(form_song.PARTS) * 8 * form_song.BAR_S))
    bars = once[:, begin:begin + bars]
    bars = np.tile(bars, -(-seconds * form_song.RATE // bars.shape[1]))[:, :seconds * form_song.RATE]
    sound_bank.write_wav(path, bars, form_song.RATE)


def struck(bed, random, instants_s, level=0.5):
    for instant in instants_s:
        sound = level * small_day.thump(random)
        place = bed[..., int(instant * RATE):][..., :len(sound)]
        place += sound[:place.shape[-1]]
    return bed


def long_clips(folder, seconds, each):
    os.makedirs(folder, exist_ok=True)
    picture = os.path.join(folder, "picture.mp4")
    ffmpeg("-f", "lavfi", "-i", "testsrc2=s=1920x1080:r=25:d=8", "-vf", "noise=alls=20:allf=t", "-c:v", "libx264", "-preset",
           "ultrafast", "-pix_fmt", "yuv420p", "-g", "25", "-b:v", "8M", "-maxrate", "8M", "-bufsize", "8M", picture)
    for index in range(each):
        random = np.random.default_rng(index)
        bed = np.stack([sound_bank.surf(random, seconds, 0.02) for _ in range(2)])
        struck(bed, random, np.cumsum(random.uniform(0.7, 1.8, seconds))[:int(seconds / 1.4)])
        sound = os.path.join(folder, f"{index}.wav")
        sound_bank.write_wav(sound, bed)
        both = ["-stream_loop", "-1", "-i", picture, "-i", sound, "-map", "0:v", "-map", "1:a", "-c:v", "copy", "-t", seconds]
        for kind, codec in (("mp4", ["-c:a", "aac", "-b:a", "160k"]), ("mov", ["-c:a", "pcm_s16le"]),
                            ("mts", ["-c:a", "aac", "-b:a", "160k", "-f", "mpegts"])):
            os.makedirs(os.path.join(folder, kind), exist_ok=True)
            ffmpeg(*both, *codec, os.path.join(folder, kind, f"S_{index:02d}.{kind}"))
        os.remove(sound)
    os.remove(picture)


class Mould:
    """One small film whose sound and date are exchanged in place: a process for each of 10,000 would take minutes."""

    def __init__(self, folder):
        path = os.path.join(folder, "mould.mov")
        sound_bank.write_clip(path, np.zeros(int(SHORT_S * RATE)), 25, size="64x36")
        shown = subprocess.run(["ffprobe", "-v", "error", "-select_streams", "a", "-show_entries", "packet=pos,size", "-of",
                                "csv=p=0", path], capture_output=True, text=True, check=True).stdout
        self.pieces = sorted((int(pos), int(size)) for size, pos, *_ in (line.split(",") for line in shown.split()))
        with open(path, "rb") as file:
            self.film = bytearray(file.read())
        self.date = self.film.index(b"mvhd") + 8  # ISO/IEC 14496-12: after version and flags, seconds since 1904
        os.remove(path)

    def cast(self, path, samples, filmed_at, spare):
        """`spare`: bytes behind all else that mean nothing, since clips of one size are looked at as copies."""
        sound = np.round(np.clip(samples, -1, 1) * 32767).astype("<i2").tobytes()
        at = 0
        for place, size in self.pieces:
            self.film[place:place + size] = sound[at:at + size]
            at += size
        since = filmed_at - datetime.datetime(1904, 1, 1)
        struct.pack_into(">I", self.film, self.date, int(since.total_seconds()))
        with open(path, "wb") as file:
            file.write(self.film + struct.pack(">I", 8 + spare) + b"free" + bytes(spare))


def short_clips(folder, count):
    random = np.random.default_rng(1)
    surf = sound_bank.surf(random, 60, 0.01)
    for camera in "AB":
        os.makedirs(os.path.join(folder, camera), exist_ok=True)
    mould = Mould(folder)
    length = int(SHORT_S * RATE)
    began = datetime.datetime(2026, 6, 1, 8)
    for rally in range((count + 1) // 2):
        hits = 0.15 + np.cumsum(random.uniform(0.2, 0.45, 3))
        for camera in "AB"[:count - 2 * rally]:
            at = int(random.integers(len(surf) - length))
            bed = surf[at:at + length].copy()
            later_s = RALLY_S * rally - (BEHIND_S if camera == "B" else 0)
            mould.cast(os.path.join(folder, camera, f"{camera}_{rally:05d}.mov"), struck(bed, random, hits[hits < SHORT_S - 0.1]),
                       began + datetime.timedelta(seconds=later_s), 2 * rally + (camera == "B"))


if __name__ == "__main__":
    if sys.argv[1] == "long":
        long_clips(sys.argv[2], int(sys.argv[3]), int(sys.argv[4]))
    elif sys.argv[1] == "song":
        song(sys.argv[2], 180)
    else:
        short_clips(sys.argv[2], int(sys.argv[3]))
