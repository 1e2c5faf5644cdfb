# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Generated clips through real containers: what the tool hears of the files beside what it hears of the samples.

    containers.py --build BUILD --folder FOLDER [--clips N]
"""
import argparse
import os
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import run_tool
from score import Score

LATE_S = 0.4
AAC = ["-c:a", "aac", "-b:a", "128k"]
OPUS = ["-c:a", "libopus", "-b:a", "96k", "-ar", "48000"]
PCM = ["-c:a", "pcm_s16le"]
WIDE = "pan=5.1|FL=c0|FR=c1|FC=0.5*c0+0.5*c1|LFE=0*c0|BL=0.5*c0|BR=0.5*c1"
OPUS_DELAY_S = 0.0065  # of the decoder; FFmpeg 5.1 writes it into .mkv but leaves it out of the times there
EXACT = ["-movie_timescale", "48000"]  # else .mp4 and .mov round late sound to whole ms
# Name, ending, options for the sound, filter on two channels or None, seconds that it begins after the picture.
CONTAINERS = [
    ("PCM .mov", ".mov", PCM, None, 0),
    ("AAC .mp4, 48 kHz", ".mp4", [*AAC, "-ar", "48000"], None, 0),
    ("AAC .mp4, 44.1 kHz", ".mp4", [*AAC, "-ar", "44100"], None, 0),
    (f"AAC .mp4, {LATE_S} s late", ".mp4", AAC, None, LATE_S),
    ("Opus .mkv, 0.1 s late", ".mkv", OPUS, None, 0.1),
    ("Opus .mp4", ".mp4", OPUS, None, 0),
    ("PCM .mov, 5.1", ".mov", PCM, WIDE, 0),
    ("PCM .mov, 96 kHz", ".mov", ["-c:a", "pcm_s24le", "-ar", "96000"], None, 0),
    ("PCM .mov, mono", ".mov", [*PCM, "-ac", "1"], None, 0),
    ("PCM, right dead", ".mov", PCM, "pan=stereo|c0=c0|c1=0*c0", 0),
    ("PCM, right = -left", ".mov", PCM, "pan=stereo|c0=c0|c1=-1*c0", 0),
]


def picture(path):
    """One film without sound for all of them."""
    subprocess.run(["ffmpeg", "-v", "error", "-y", "-f", "lavfi", "-i", "testsrc2=size=160x90:rate=25:duration=20",
                    "-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-threads", "1", path], check=True)


def write(film, wav, path, options, pan, late_s):
    mkv = path.endswith(".mkv")
    sound = ["-itsoffset", str(late_s + (OPUS_DELAY_S if mkv else 0))] if late_s else []
    filters = ["-af", f"aformat=channel_layouts=stereo,{pan}"] if pan else []
    exact = [] if mkv else EXACT
    subprocess.run(["ffmpeg", "-v", "error", "-y", "-i", film, *sound, "-i", wav, "-map", "0:v", "-map", "1:a", "-c:v",
                    "copy", *filters, *options, *exact, path], check=True, stdin=subprocess.DEVNULL)


def instants(text):
    return [float(word) for word in text.split()]


def seconds_of(printed):
    """Of what `downball impacts` prints: a contact a line, its second first."""
    return [float(line.split("\t")[0]) for line in printed.splitlines()]


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--build", required=True)
    parser.add_argument("--folder", required=True, help="for the clips; emptied first and removed afterwards")
    parser.add_argument("--clips", type=int, default=2, help="a split")
    args = parser.parse_args()
    tool = run_tool.Tool(args.build)
    shutil.rmtree(args.folder, ignore_errors=True)
    os.makedirs(args.folder)
    at = lambda name: os.path.join(args.folder, name)
    subprocess.run([os.path.join(args.build, "bench", "impacts_clips"), args.folder, str(args.clips)], check=True)
    with open(at("clips.tsv"), encoding="utf-8") as file:
        clips = [line.rstrip("\n").split("\t") for line in file]
    clips = [(name, instants(truth), instants(direct)) for name, truth, direct in clips]
    picture(at("film.mp4"))

    def one(job):
        (_, ending, options, pan, late_s), (name, truth, _) = job
        path = at(f"{CONTAINERS.index(job[0])}-{name}{ending}")
        write(at("film.mp4"), at(name), path, options, pan, late_s)
        found = seconds_of(tool.must("impacts", "--quiet", path).stdout)
        os.remove(path)
        return found, [t + late_s for t in truth]

    direct = Score()
    for _, truth, found in clips:
        direct.add(found, truth)
    print(f"  {'container':22}  F50     F10    bias ms   F50 less that of the samples themselves")
    print(f"  {'samples themselves':22} {direct.f(0):.3f}  {direct.f(2):.3f}  {direct.bias_ms():+8.2f}")
    jobs = [(container, clip) for container in CONTAINERS for clip in clips]
    with ThreadPoolExecutor(2) as pool:
        results = list(pool.map(one, jobs))
    for index, container in enumerate(CONTAINERS):
        score = Score()
        for found, truth in results[index * len(clips):(index + 1) * len(clips)]:
            score.add(found, truth)
        print(f"  {container[0]:22} {score.f(0):.3f}  {score.f(2):.3f}  {score.bias_ms():+8.2f}   {score.f(0) - direct.f(0):+.3f}")
    shutil.rmtree(args.folder)


if __name__ == "__main__":
    sys.exit(main())
