# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Part `analysis`: clips listened to, beside the ffmpeg program that only decodes them, on one core and on two."""
import os
import re
import shutil

import measured

SECONDS, EACH = 120, 4
KINDS = {"mp4": "AAC beside 1080p in MP4", "mov": "PCM beside 1080p in MOV", "mts": "AAC beside 1080p in .mts"}
MOST_MS, GOAL_MS = 5.0, 1.5  # of one core, a second of sound, to hear contacts once the sound is decoded
MOST_OF_ONE_CORE = 0.75      # what two cores may take of the time of one


def clips_in(folder):
    return sorted(os.path.join(folder, name) for name in os.listdir(folder))


FFMPEG = ("ffmpeg", "-nostdin", "-v", "error", "-vn", "-i", "{}", "-f", "null", "-")


def decode(clips, cores, words=FFMPEG, some_silent=False):
    """What reading the sound takes at least: as many processes side by side as there are cores. `some_silent`: ffmpeg may
    complain of clips without sound."""
    many = str(cores.count(",") + 1)
    return measured.run(["sh", "-c", f'printf "%s\\0" "$@" | xargs -0 -P{many} -I{{}} {" ".join(words)}', "sh", *clips],
                        cores=cores, may_fail=some_silent)


def analyse(bench, clips, kept, cores, anew=True):
    if anew:
        shutil.rmtree(kept, ignore_errors=True)
    return measured.run([bench.downball, "impacts", "--out", kept, *clips], cores=cores)


def measure(bench):
    media = bench.media("long", SECONDS, EACH)
    kept = os.path.join(bench.folder, "kept")
    two = "0,1" if len(os.sched_getaffinity(0)) > 1 else "0"
    sound_s = SECONDS * EACH
    hearing(bench)
    for kind, name in KINDS.items():
        clips = clips_in(os.path.join(media, kind))
        only_decode = (bench.program("decode_bench"), "--only", "decode", "{}")
        found = measured.interleaved({
            "floor 1": lambda: decode(clips, "0"), "one": lambda: analyse(bench, clips, kept, "0"),
            "own": lambda: decode(clips, "0", only_decode),
            "floor 2": lambda: decode(clips, two), "two": lambda: analyse(bench, clips, kept, two),
            "again": lambda: analyse(bench, clips, kept, two, anew=False),
            "nothing": lambda: measured.run([bench.downball, "--version"], cores=two)})
        row = bench.table.row
        one = found["one"]
        row(f"{name}, 1 core", one, material_s=sound_s, floor=found["floor 1"], of="ffmpeg decoding the sound, 1 core")
        row(f"{name}, 2 cores", found["two"], material_s=sound_s, floor=found["floor 2"],
            of="ffmpeg decoding the sound, 2 at once")
        row("  2 cores beside 1", found["two"], floor=one, of="the same on 1 core",
            target=f"wall ratio <= {MOST_OF_ONE_CORE}", met=found["two"].wall_s <= MOST_OF_ONE_CORE * one.wall_s)
        row("  again, all kept", found["again"], material_s=sound_s, floor=found["nothing"], of="starting the program")
        row("  decoding alone, 1 core", found["own"], material_s=sound_s, floor=found["floor 1"],
            of="ffmpeg decoding the sound, 1 core")
        # The rest: the detector, but also what tells files and keeps documents. Each process has to be started, too.
        start_s = found["nothing"].cpu_s
        decoding_s = found["own"].cpu_s - EACH * start_s
        alone = measured.Cost(0, one.cpu_s - start_s - decoding_s, 0)
        rest_ms = 1000 * alone.cpu_s / sound_s
        row(f"  but for decoding, {rest_ms:.2f} ms a second", alone, floor=measured.Cost(0, decoding_s, 0), of="decoding alone",
            target=f"<= {MOST_MS:.0f} ms a second, goal {GOAL_MS}", met=rest_ms <= MOST_MS)


def hearing(bench):
    """The detector by itself, on sound in memory."""
    run = measured.run([bench.program("hearing_bench")])
    told = re.search(r"^all +([0-9.]+) ms a second", run.said, re.MULTILINE)
    ms = float(told[1])
    bench.table.row(f"detector by itself, {ms:.2f} ms a second", measured.Cost(run.wall_s, ms / 1000, run.peak_mb),
                    target=f"<= {MOST_MS:.0f} ms a second, goal {GOAL_MS}", met=ms <= MOST_MS)
