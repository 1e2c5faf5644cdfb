# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Clips analysed by several processes, each a part of them, and by one: the same files, and the same cut from them."""
import os
import shutil
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import small_day  # noqa: E402
from count_decoders import Counter  # noqa: E402
from run_tool import Checks, Tool, Workplace, hashes, need, placeless  # noqa: E402

PARTS = 2


def in_parts(tool, footage, out):
    """GNU parallel as a user would call it; its own request to be cited is silenced."""
    command = [need("/usr/bin/parallel", "parallel"), "--will-cite", "--halt", "now,fail=1", "--keep-order",
               tool.path, "impacts", "--out", out, "--shard", f"{{}}/{PARTS}", footage, ":::",
               *map(str, range(1, PARTS + 1))]
    return subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=600,
                          env={**os.environ, "LC_ALL": "C.UTF-8"})


def clip_files(folder):
    return {name: text for name, text in hashes(folder).items() if name.endswith(".clip.json")}


def compare_files(tool, that, place):
    footage = os.path.join(place, "footage")
    whole, parts = os.path.join(place, "whole"), os.path.join(place, "parts")
    one = tool.must("impacts", "--out", whole, footage)
    several = in_parts(tool, footage, parts)
    that(several.returncode == 0, f"parts: exit {several.returncode}: {several.stderr}")
    that(len(clip_files(whole)) == len(os.listdir(footage)) == 8, f"a file a clip: {sorted(clip_files(whole))}")
    that(clip_files(whole) == clip_files(parts), "parts and the whole make the same files, byte for byte")
    lines = [line.split("\t") for line in one.stdout.splitlines()]
    that([line[1] for line in lines] == [os.path.join(footage, name) for name in sorted(os.listdir(footage))],
         f"a line a clip, in order: {one.stdout}")
    that({os.path.basename(line[0]) for line in lines} == set(clip_files(whole)), "each names its file")
    printed = [{os.path.basename(line.split("\t")[1]) for line in
                tool.must("impacts", "--out", parts, "--shard", f"{part}/{PARTS}", footage).stdout.splitlines()}
               for part in range(1, PARTS + 1)]
    that(len(printed[0]) == len(printed[1]) == 4 and printed[0] | printed[1] == set(os.listdir(footage)),
         f"each does its half: {printed}")
    beyond = tool("impacts", "--out", parts, "--shard", "9/9", footage)
    that(beyond.returncode == 0 and not beyond.stdout, f"more parts than clips: exit {beyond.returncode}")
    for wrong in ("0/2", "3/2", "1", "1/0", "a/b", "-1/2", "1/2/3"):
        refused = tool("impacts", "--out", parts, "--shard", wrong, footage)
        that(refused.returncode == 2 and not refused.stdout, f"--shard {wrong}: exit {refused.returncode}, expected 2")
    that(tool("impacts", "--shard", "1/2", footage).returncode == 2, "--shard without --out: exit 2")
    return {"whole": whole, "parts": parts}


def compare_cuts(tool, that, place, folders, build):
    """A job each that is begun by hand, so that nothing of it was heard before."""
    small_day.make(tool, os.path.join(place, "model"))
    made = {}
    for name, analyses in folders.items():
        job = os.path.join(place, f"job-{name}")
        shutil.copytree(os.path.join(place, "model"), job, ignore=shutil.ignore_patterns("analysis", "out"))
        shutil.rmtree(os.path.join(job, "footage"))
        shutil.copytree(os.path.join(place, "footage"), os.path.join(job, "footage"))
        shutil.copytree(analyses, os.path.join(job, "analysis"))
        header, rows = small_day.read_log(os.path.join(job, "log.csv"))
        for row in rows:
            row["contacts"] = ""
        small_day.write_log(os.path.join(job, "log.csv"), header, rows)
        before = clip_files(os.path.join(job, "analysis"))
        count = Counter(tool, build, place)
        for command in ("log", "cut"):
            done, opened = count(command, "job.json", cwd=job)
            print(f"-- {command} from {name}: exit {done.returncode}, {opened}")
            that(done.returncode == 0, f"{command} from {name}: {done.stderr}")
            # The song is the one file with PCM, and nobody has listened to it before; the clips have AAC.
            that(set(opened.audio) <= {"pcm_s16le"}, f"{command} from {name}: hears no clip anew: {opened.audio}")
            that(len(opened.video) + opened.containers.count("song.wav") >= len(opened.containers),
                 f"{command} from {name}: clips are opened for the page's pictures alone: {opened.containers}")
        after = clip_files(os.path.join(job, "analysis"))
        that({one: after.get(one) for one in before} == before, f"{name}: no clip was analysed anew")
        that(len(after) == len(before) + 1, f"{name}: only the song came: {sorted(after.keys() - before.keys())}")
        made[name] = {**placeless(os.path.join(job, "out"), job), "log": hashes(job)["log.csv"]}
    other = [name for name in made["whole"] if made["whole"][name] != made["parts"].get(name)]
    that(len(made["whole"]) > 4 and len(made["whole"]) == len(made["parts"]) and not other,
         f"log and outputs from parts and from the whole are the same, byte for byte: {other}")


def main():
    tool, checks = Tool(sys.argv[1]), Checks()
    with Workplace("shards") as place:
        small_day.footage(os.path.join(place, "footage"))
        os.mkdir(os.path.join(place, "model"))
        folders = compare_files(tool, checks.that, place)
        compare_cuts(tool, checks.that, place, folders, sys.argv[1])
    checks.finish()


if __name__ == "__main__":
    main()
