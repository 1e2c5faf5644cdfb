# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Several cuts in one run: versions that differ, a cut for each length. All of them appear, or none."""
import json
import os
import re
import shutil
import sys
import wave
from fractions import Fraction

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import edl_reader  # noqa: E402
from run_tool import hashes  # noqa: E402
from spoilt_jobs import change_job, run  # noqa: E402

RATE = 25
WAV_HZ = 48000
ENDINGS = (".edl", ".otio", ".song.wav", ".html", ".report.json")


def uncut(bench):
    folder = bench.copy()
    shutil.rmtree(os.path.join(folder, "out"))
    return folder


def output(folder, name):
    return os.path.join(folder, "out", name)


def report(folder, name):
    with open(output(folder, name + ".report.json"), encoding="utf-8") as file:
        return json.load(file)


def names_in(folder):
    """The cuts in out/, which holds nothing else."""
    files = sorted(os.listdir(output(folder, "")))
    cuts = sorted(file[:-len(".edl")] for file in files if file.endswith(".edl"))
    return cuts, files == sorted(name + ending for name in cuts for ending in ENDINGS)


def shots(folder, name):
    """What tells a shot of a report from others: its contact, or its take where it hangs by none."""
    return [shot["anchors"][0]["contact"] if shot["anchors"] else shot["take"] for shot in report(folder, name)["shots"]]


def set_differ(folder, share):
    change_job(folder, lambda it: it["variety"].update(versions_differ=share))


def set_lengths(folder, *lengths_s):
    change_job(folder, lambda it: (it["delivery"].pop("length_s"), it["delivery"].update(lengths_s=list(lengths_s))))


def whole(bench, folder, name, length_s):
    """Four files; lists, song and report of the length asked for."""
    that, frames = bench.checks.that, round(length_s * RATE)
    pictures = [event for event in edl_reader.read(output(folder, name + ".edl"), Fraction(RATE))
                if event.channel == "V"]
    that(pictures[-1].record_out - pictures[0].record_in == frames, f"{name}: the EDL has {frames} frames of pictures")
    told = report(folder, name)
    that(told["name"] == name and told["delivery"]["frames"] == frames, f"{name}: so the report: {told['delivery']}")
    that(len(pictures) == len(told["shots"]), f"{name}: an event for each of {len(told['shots'])} shots")
    that(told["song"]["path"].endswith(name + ".song.wav"), f"{name}: a song of its own: {told['song']['path']}")
    with wave.open(output(folder, name + ".song.wav"), "rb") as file:
        samples = file.getnframes()
    that(samples == frames * WAV_HZ // RATE, f"{name}: the song has {samples} samples for {frames} frames")
    with open(output(folder, name + ".otio"), encoding="utf-8") as file:
        that(name + ".song.wav" in file.read(), f"{name}: the OTIO plays it")


def differing(bench):
    """Each version differs from each before it in the share that is stated, of its own shots as of the other's."""
    that = bench.checks.that
    for share in (0.5, 0.8):
        folder = uncut(bench)
        set_differ(folder, share)
        done = bench.tool("cut", "job.json", "--versions", "2", cwd=folder)
        that(done.returncode == 0 and names_in(folder) == (["reel", "reel-v2"], True), f"two versions: {done.stderr}")
        for name in ("reel", "reel-v2"):
            whole(bench, folder, name, 6)
            that(len(re.findall(rf"^{name}:$", done.stderr, re.M)) == 1, f"the talk says when it is of {name}")
        that(done.stderr.count("song's licence") == 1, "what holds for both is said once")
        first, second = shots(folder, "reel"), shots(folder, "reel-v2")
        for one, other in ((first, second), (second, first)):
            shared = sum(shot in other for shot in one)
            that(shared <= (1 - share) * len(one) + 1e-9,
                 f"versions differ in {share} of their shots: {shared} of {len(one)} are shared")
    folder = uncut(bench)
    set_differ(folder, 0.1)
    bench.tool("cut", "job.json", "--versions", "2", cwd=folder)
    that(set(shots(folder, "reel")) & set(shots(folder, "reel-v2")), "a small share is no ban on shared shots")


def repeated(bench):
    """A version is no worse a cut for standing beside others, and a run that is done again changes nothing."""
    that, folder = bench.checks.that, uncut(bench)
    bench.tool("cut", "job.json", cwd=folder)
    alone = hashes(output(folder, ""))
    shutil.rmtree(output(folder, ""))
    bench.tool("cut", "job.json", "--versions", "2", cwd=folder)
    first = hashes(output(folder, ""))
    that(alone.items() <= first.items(), "the first version is what a plain cut gives, byte for byte")
    bench.tool("cut", "job.json", "--versions", "2", "--fresh", cwd=folder)
    that(hashes(output(folder, "")) == first, "--fresh: the same command, the same bytes")
    before = [report(folder, name)["shots"] for name in ("reel", "reel-v2")]
    done = bench.tool("cut", "job.json", "--versions", "2", cwd=folder)
    that(len(re.findall(r"(\d+) of \1 shots stay, 0 moved, 0 left, 0 came", done.stderr)) == 2,
         f"each version is compared with its own last one: {done.stderr}")
    that([report(folder, name)["shots"] for name in ("reel", "reel-v2")] == before, "each version stays as it was")
    again = hashes(output(folder, ""))
    bench.tool("cut", "job.json", "--versions", "2", cwd=folder)
    that(hashes(output(folder, "")) == again, "the same inputs, last reports included, give the same bytes")


def too_many(bench):
    """The log has shots for two cuts that share none, not for a third."""
    that, folder = bench.checks.that, uncut(bench)
    set_differ(folder, 1)
    done = bench.tool("cut", "job.json", "--versions", "4", cwd=folder)
    that(done.returncode == 4, f"too many versions: exit {done.returncode}")
    cuts, complete = names_in(folder)
    that(complete and 0 < len(cuts) < 4, f"too many versions: those that could be made are there: {cuts}")
    for name in cuts:
        whole(bench, folder, name, 6)
        that(f"out/{name}.edl\n" in done.stdout, f"too many versions: {name} is named")
    failed = f"reel-v{len(cuts) + 1}"
    told = done.stdout[done.stdout.find(f"{failed}: no cut satisfies"):]
    that(told.startswith(failed), f"too many versions: said which could not be made: {done.stdout}")
    that(re.search(r"^  - at most 0 % of the shots shared with reel\S*$", told, re.M), f"and from which it must differ: {told}")
    that("variety.versions_differ below 1;" in told, f"and which setting does it: {told}")
    before = hashes(folder)
    that(bench.tool("cut", "job.json", "--versions", "4", "--fresh", cwd=folder).stdout == done.stdout,
         "too many versions: again the same answer")
    that(hashes(folder) == before, "too many versions: again the same bytes")

    change_job(folder, lambda it: it["variety"].update(players={"ana": {"at_least": 9}}))
    before = hashes(folder)
    done = bench.tool("cut", "job.json", "--versions", "2", cwd=folder)
    that(done.returncode == 4 and hashes(folder) == before, f"no version at all: exit {done.returncode}")
    that("player ana" in done.stdout and "shared" not in done.stdout and "versions_differ" not in done.stdout,
         f"no version at all: other cuts are not to blame: {done.stdout}")


def lengths(bench):
    that, folder = bench.checks.that, uncut(bench)
    set_lengths(folder, 8, 4.4, 6)
    change_job(folder, lambda it: it["variety"].update(cutaway_share_max=0.5))
    done = bench.tool("cut", "job.json", cwd=folder)
    that(done.returncode == 0 and names_in(folder) == (["reel-4.4s", "reel-6s", "reel-8s"], True),
         f"three lengths: exit {done.returncode}: {done.stdout}{done.stderr}")
    for name, length_s in (("reel-4.4s", 4.4), ("reel-6s", 6), ("reel-8s", 8)):
        whole(bench, folder, name, length_s)
    first = hashes(output(folder, ""))
    bench.tool("cut", "job.json", "--versions", "2", "--fresh", cwd=folder)
    that("reel-8s-v2" in names_in(folder)[0], f"versions of a length: {names_in(folder)[0]}")
    that(first.items() <= hashes(output(folder, "")).items(), "versions of the lengths leave the first ones as they were")

    folder = uncut(bench)
    set_lengths(folder, 6, 6.0000001)
    bench.tool("cut", "job.json", cwd=folder)
    that(len(names_in(folder)[0]) == 2, f"lengths however near have files of their own: {names_in(folder)[0]}")


def one_impossible(bench):
    """A length that cannot be cut keeps no other from being made."""
    that, folder = bench.checks.that, uncut(bench)
    set_lengths(folder, 4, 6)
    done = bench.tool("cut", "job.json", "--quiet", cwd=folder)
    that(done.returncode == 4 and names_in(folder) == (["reel-6s"], True), f"one of two lengths: {names_in(folder)}")
    that("reel-4s: no cut satisfies" in done.stdout and "out/reel-6s.edl" in done.stdout,
         f"one of two lengths: said which, even with --quiet: {done.stdout}")


def bad_lengths(bench):
    folder = bench.copy()
    change_job(folder, lambda it: it["delivery"].update(lengths_s=[6, 8]))
    bench.refused("lengths_s beside length_s", 3, ["cut", "job.json"],
                  [r"job\.json /delivery/lengths_s: ", "length_s, which"], folder)
    for case, values, says in (("a length twice", (6, 8, 6), r"/delivery/lengths_s/2: found 6 a second time"),
                               ("a length under the shortest shot", (6, 0.2), r"/delivery/lengths_s/1: found 0\.2"),
                               ("no length", (), r"/delivery/lengths_s"),
                               ("a length of nothing", (0,), r"/delivery/lengths_s/0: found 0"),
                               ("a length in words", ("long",), r"/delivery/lengths_s/0: found \"long\"")):
        folder = bench.copy()
        set_lengths(folder, *values)
        bench.refused(case, 3, ["cut", "job.json"], says, folder)
    folder = bench.copy()
    set_differ(folder, 0)
    bench.refused("versions that need not differ", 3, ["cut", "job.json"], r"/variety/versions_differ: found 0", folder)


def bad_counts(bench):
    folder = bench.copy()
    for count in ("0", "10", "x", "1.5", "-1"):
        bench.refused(f"--versions {count}", 2, ["cut", "job.json", f"--versions={count}"],
                      [r"--versions", rf'found "{re.escape(count)}", expected a whole number from 1 to 9'], folder)


def by_hand(bench):
    """A file of one cut that was changed by hand keeps all of them as they are."""
    that, folder = bench.checks.that, uncut(bench)
    set_lengths(folder, 6, 8)
    bench.tool("cut", "job.json", cwd=folder)
    with open(output(folder, "reel-8s.edl"), "a", encoding="ascii") as file:
        file.write("* NOTE BY HAND\r\n")
    change_job(folder, lambda it: it["pacing"].update(longest_s=1.0))
    bench.refused("one cut of two changed by hand", 5, ["cut", "job.json"], [r"reel-8s\.edl", "--force"], folder)
    before = hashes(folder)
    done = bench.tool("cut", "job.json", "--force", cwd=folder)
    changed = {name for name, value in hashes(folder).items() if before.get(name) != value}
    that(done.returncode == 0 and {"out/reel-6s.edl", "out/reel-8s.edl"} <= changed, f"--force overwrites: {changed}")


def nowhere(bench):
    """No room for the second cut: neither is there, nor the folder that was made for them."""
    folder = uncut(bench)
    set_lengths(folder, 6, 8)
    bench.refused("no room for the files", 5, ["cut", "job.json"], r"out/reel-6s", folder,
                  prefix=("sh", "-c", "trap '' XFSZ; ulimit -f 1; exec \"$0\" \"$@\""))
    folder = uncut(bench)
    set_lengths(folder, 6, 8)
    os.makedirs(output(folder, "reel-8s.otio"))
    bench.refused("a folder in the place of the second cut", 5, ["cut", "job.json", "--force"], r"out/reel-8s\.otio", folder)


if __name__ == "__main__":
    run((differing, repeated, too_many, lengths, one_impossible, bad_lengths, bad_counts, by_hand, nowhere), "versions")
