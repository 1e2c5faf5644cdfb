# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Footage of every kind that cameras hand over, each picture counted (counted.py), four seconds a clip, made by ffmpeg
when the tests run.

    counted_footage.py FOLDER [NAME...]    makes the clips and FOLDER/footage.json, which tells what was painted"""
import concurrent.futures
import json
import os
import subprocess
import sys
from fractions import Fraction

import counted

LENGTH_S = 4
# Frames of a phone: thirty a second, none of them quite on time, and one in eight missing.
PHONE = "3000*N+3000*floor(N/7)+900*sin(N*1.7)"
# Two recordings of one phone joined: two seconds at 30, then 60 a second.
JOINED = "if(lt(N,60),3000*N,180000+1500*(N-60))"


class Clip:
    """`label` at `label_rate` is the start label; where: "track" a timecode track, "stream" or "file" a tag of these;
    `uneven` gives presentation times in ticks of 1/90000 s; `late_s` sets the pictures later than the sound; `cut_s`
    begins the file there by an edit list; `capture` is what the camera said it took."""

    def __init__(self, name, rate, label=None, where="track", uneven=None, late_s=0, cut_s=0, capture=None, sound=True):
        self.name, self.rate, self.label, self.where, self.uneven = name, Fraction(rate), label, where, uneven
        self.late_s, self.cut_s, self.capture, self.sound = late_s, Fraction(cut_s), capture, sound


CLIPS = [
    Clip("c23976.mov", "24000/1001", "10:00:00:10"),
    Clip("c24.mp4", 24, "01:59:58:20"),
    Clip("c25.mp4", 25, "10:00:00:10"),
    Clip("ndf.mov", "30000/1001", "00:58:59:20"),
    Clip("df.mov", "30000/1001", "00:58:59;20"),
    Clip("c30.mkv", 30, "10:00:00:11", "file"),
    Clip("c50.mp4", 50, "10:00:00:21"),
    Clip("c5994.mp4", "60000/1001", "12:34:58;33"),
    Clip("c60.mp4", 60, "12:34:58:07", "file", sound=False),
    Clip("c100.mp4", 100, "09:59:59:99"),
    Clip("c11988.mov", "120000/1001", "08:00:00:113"),
    Clip("c120.mov", 120),
    Clip("night25.mp4", 25, "23:59:59:00"),
    Clip("nightdf.mov", "60000/1001", "23:59:58;51"),
    Clip("night120.mp4", 120, "23:59:57:119"),
    Clip("phone.mp4", 30, uneven=PHONE),
    Clip("joined.mov", 30, "17:03:20:02", uneven=JOINED),
    Clip("phone.mkv", 30, uneven=PHONE, sound=False),
    Clip("slow.mov", 25, "06:00:00:05", capture=100),
    Clip("trimmed.mp4", 25, cut_s="0.52"),
    Clip("late.mp4", 50, late_s=0.3),
    Clip("tag.mkv", 25, "14:00:00:12", "stream"),
    Clip("plain.mkv", "30000/1001"),
]


def numbers(clip):
    """What is painted into the pictures of the file, in order of presentation."""
    count = len(range(int(LENGTH_S * clip.rate) if not clip.uneven else 100))
    return range(-int(-clip.cut_s * clip.rate // 1), count)


def make(folder, number, clip):
    path = os.path.join(folder, clip.name)
    options = ["-preset", "ultrafast", "-bf", "2", "-g", "12"]
    filters = "null"
    if clip.uneven:
        filters = f"settb=1/90000,setpts='{clip.uneven}'"
        options += ["-vsync", "passthrough", "-enc_time_base", "1:90000", "-video_track_timescale", "90000"]
    if clip.label and clip.where == "stream":
        options += ["-metadata:s:v:0", f"timecode={clip.label}"]
    elif clip.label and clip.where == "file" and not clip.name.endswith(".mkv"):
        options += ["-write_tmcd", "0", "-movflags", "use_metadata_tags", "-metadata", f"timecode={clip.label}"]
    elif clip.label:
        options += ["-timecode", clip.label]
    painted = [(number, n) for n in range(numbers(clip).stop)]
    first = path if not clip.late_s and not clip.cut_s else os.path.join(folder, "whole_" + clip.name)
    counted.write(first, painted, clip.rate, *options, filters=filters, sound_s=LENGTH_S if clip.sound else None)
    if first != path:
        shift = ["-itsoffset", str(clip.late_s)] if clip.late_s else ["-ss", str(float(clip.cut_s))]
        subprocess.run(["ffmpeg", "-nostdin", "-v", "error", *shift, "-i", first, "-i", first, "-map", "0:v", "-map", "1:a",
                        "-c", "copy", path], check=True)
        os.remove(first)


def make_all(folder, names=()):
    """Makes the clips of these names, or all, and the file that tells of them; a clip's number counts from 1 in CLIPS."""
    os.makedirs(folder, exist_ok=True)
    wanted = [(number, clip) for number, clip in enumerate(CLIPS, 1) if not names or clip.name in names]
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        list(pool.map(lambda each: make(folder, *each), wanted))
    told = [{"name": clip.name, "clip": number, "first": numbers(clip).start, "count": len(numbers(clip)),
             "label": clip.label, "label_rate": str(clip.rate), "capture_fps": clip.capture} for number, clip in wanted]
    with open(os.path.join(folder, "footage.json"), "w", encoding="ascii") as file:
        json.dump(told, file, indent=1)


if __name__ == "__main__":
    make_all(sys.argv[1], sys.argv[2:])
