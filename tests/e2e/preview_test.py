# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""`cut --preview`: a movie of each cut, guarded and written like the other outputs; nothing changes without the option."""
import json
import os
import pty
import re
import shutil
import signal
import subprocess
import sys
import time

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import small_day  # noqa: E402
from run_tool import hashes  # noqa: E402
from spoilt_jobs import change_job, run  # noqa: E402

CUT = ["cut", "job.json", "--preview"]


def output(folder, name):
    return os.path.join(folder, "out", name)


def probed(path):
    done = subprocess.run(["ffprobe", "-v", "error", "-count_packets", "-show_entries",
                           "stream=codec_name,width,height,r_frame_rate,nb_read_packets:format=duration", "-of", "json", path],
                          capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def in_report(folder, name):
    with open(output(folder, name + ".report.json"), encoding="utf-8") as file:
        return {one["file"] for one in json.load(file)["outputs"]}


def is_movie(bench, folder, name, length_s):
    told = probed(output(folder, name + ".mp4"))
    video, audio = told["streams"]
    bench.checks.that((video["codec_name"], video["width"], video["height"], video["r_frame_rate"],
                       video["nb_read_packets"]) == ("h264", 640, 360, "25/1", str(round(length_s * 25))),
                      f"{name}.mp4 has the pictures of the reel: {video}")
    bench.checks.that(audio["codec_name"] == "aac" and abs(float(told["format"]["duration"]) - length_s) < 0.001,
                      f"{name}.mp4 has the sound of the reel: {told}")
    bench.checks.that(name + ".mp4" in in_report(folder, name), f"{name}'s report lists the movie")


def one_more_output(bench):
    that, folder = bench.checks.that, bench.copy()
    before = hashes(folder)
    done = bench.tool.must(*CUT, cwd=folder)
    that([os.path.basename(line) for line in done.stdout.split()] ==
         ["reel.edl", "reel.otio", "reel.song.wav", "reel.html", "reel.mp4", "reel.report.json"], f"listed in order: {done.stdout}")
    that(re.search(r"preview: 150 frames, -\d+\.\d LUFS, true peak -\d+\.\d dBTP", done.stderr), f"told: {done.stderr}")
    is_movie(bench, folder, "reel", 6)
    after = hashes(folder)
    that(all(after[name] == content for name, content in before.items() if "report" not in name and ".html" not in name),
         "the lists and the song are what they were")
    with open(output(folder, "reel.html"), encoding="utf-8") as file:
        that('src="./reel.mp4"' in file.read(), "the page plays it")
    that(set(after) - set(before) == {"out/reel.mp4"}, f"one file more: {set(after) - set(before)}")
    bench.tool.must("cut", "job.json", cwd=folder)
    again = hashes(folder)
    that(again["out/reel.mp4"] == after["out/reel.mp4"] and "reel.mp4" in in_report(folder, "reel"),
         "without the option the movie stays, and stays in the report")
    bench.tool.must(*CUT, cwd=folder)
    again = hashes(folder)
    that(again["out/reel.mp4"] == after["out/reel.mp4"], "the same cut makes the same movie")
    that(again["out/reel.html"] == after["out/reel.html"], "and the same page, whose stills are kept")
    shutil.rmtree(os.path.join(folder, "analysis"))
    bench.tool.must(*CUT, cwd=folder)
    that(hashes(folder)["out/reel.html"] == after["out/reel.html"], "and with all stills made anew")

    # The reel lies among the footage; it is no footage.
    change_job(folder, lambda it: it.update(footage=["."]))
    done = bench.tool.must("log", "job.json", cwd=folder)
    that("reel.mp4" not in done.stderr and "8 clips" in done.stderr, f"the movie is no clip: {done.stderr}")


def of_each_cut(bench):
    folder = bench.copy()
    shutil.rmtree(os.path.join(folder, "out"))
    change_job(folder, lambda it: (it["delivery"].pop("length_s"), it["delivery"].update(lengths_s=[3, 6]),
                                   it["variety"].update(versions_differ=0.2)))
    bench.tool.must(*CUT, "--versions", "2", cwd=folder)
    for name, length_s in (("reel-3s", 3), ("reel-3s-v2", 3), ("reel-6s", 6), ("reel-6s-v2", 6)):
        is_movie(bench, folder, name, length_s)
    bench.checks.that(not [name for name in os.listdir(output(folder, "")) if name.startswith(".")], "nothing else is left")


def pictures(path):
    """A hash of what ffmpeg decodes of it."""
    return subprocess.run(["ffmpeg", "-nostdin", "-v", "error", "-i", path, "-map", "0:v", "-f", "md5", "-"],
                          capture_output=True, text=True, check=True).stdout


def crop_all(folder, crop):
    path = os.path.join(folder, "log.csv")
    header, rows = small_day.read_log(path)
    small_day.write_log(path, header, [{**row, "crop": crop} for row in rows])


def in_another_form(bench):
    that, folder = bench.checks.that, bench.copy()
    that("crop" in small_day.read_log(os.path.join(folder, "log.csv"))[0], "a new log has a column for what is kept")
    with open(os.path.join(folder, "job.json"), encoding="utf-8") as file:
        that(json.load(file)["preview"] == {"shape": "wide", "longer_side_px": 640, "loudness_lufs": -14, "burn_in": False},
             "a new job shows the preview's form")
    change_job(folder, lambda it: it["preview"].update(shape="tall", longer_side_px=320, loudness_lufs=-23))
    lists, seen = hashes(folder)["out/reel.edl"], {}
    for crop in ("", "0.5", "0", "1"):
        crop_all(folder, crop)
        done = bench.tool.must(*CUT, cwd=folder)
        told = re.search(r"preview: 150 frames, (-\d+\.\d) LUFS", done.stderr)
        that(told and abs(float(told[1]) + 23) < 0.11, f"as loud as the job says: {done.stderr}")
        video = probed(output(folder, "reel.mp4"))["streams"][0]
        that((video["width"], video["height"], video["nb_read_packets"]) == (180, 320, "150"), f"tall: {video}")
        seen[crop] = pictures(output(folder, "reel.mp4"))
        that(hashes(folder)["out/reel.edl"] == lists, "what is kept of pictures changes no list")
    that(seen[""] == seen["0.5"] and len(set(seen.values())) == 3, f"the log says what is kept: {seen}")
    for crop in ("1.01", "left"):
        crop_all(folder, crop)
        bench.refused(f"a crop of {crop}", 3, CUT, r"column crop: found .* expected a number from 0 to 1", folder)
    crop_all(folder, "")
    for member, value, says in (("longer_side_px", 321, "even number"), ("shape", "round", "tall"),
                                ("loudness_lufs", 0, "from -40 to -5")):
        change_job(folder, lambda it: it["preview"].update({member: value}))
        bench.refused(f"a preview of {value}", 3, CUT, [r"job\.json", f"/preview/{member}: found .*{says}"], folder)
        change_job(folder, lambda it: it["preview"].pop(member))


def guarded(bench):
    folder = bench.copy()
    with open(output(folder, "reel.mp4"), "wb") as file:
        file.write(b"somebody else's")
    bench.refused("a movie of somebody else", 5, CUT, [r"reel\.mp4", "--force"], folder)
    bench.tool.must(*CUT, "--force", cwd=folder)
    is_movie(bench, folder, "reel", 6)
    with open(output(folder, "reel.mp4"), "ab") as file:
        file.write(b"changed")
    bench.refused("a movie changed by hand", 5, CUT, [r"reel\.mp4", "--force"], folder)
    # What this run does not write may be anybody's.
    folder = bench.copy()
    with open(output(folder, "reel.song.wav"), "ab") as file:
        file.write(b"changed")
    before = hashes(folder)["out/reel.song.wav"]
    bench.tool.must(*CUT, "--song", "original", cwd=folder)
    is_movie(bench, folder, "reel", 6)
    bench.checks.that(hashes(folder)["out/reel.song.wav"] == before, "a song changed by hand stays")


def together_or_not_at_all(bench):
    folder = bench.copy()
    limit = ("sh", "-c", "trap '' XFSZ; ulimit -f {}; exec \"$0\" \"$@\"")
    for blocks in (20, 1000):  # of half a KiB or one: too little for the song, or for the movie after it
        prefix = tuple(word.format(blocks) for word in limit)
        bench.refused(f"no room ({blocks})", 5, CUT, r"out/reel\.", folder, prefix=prefix)
    shutil.rmtree(os.path.join(folder, "out"))
    bench.refused("no room, no folder", 5, CUT, r"out/reel\.", folder, prefix=tuple(word.format(20) for word in limit))


def interrupted(bench):
    folder = bench.copy()
    change_job(folder, lambda it: it["delivery"].update(length_s=10, rate="60"))
    before = hashes(folder)
    job = subprocess.Popen([bench.tool.path, *CUT], cwd=folder, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                           stderr=subprocess.PIPE, text=True)
    while job.poll() is None and not [name for name in os.listdir(output(folder, "")) if ".mp4" in name]:
        time.sleep(0.002)
    job.send_signal(signal.SIGINT)
    out, err = job.communicate(timeout=120)
    bench.checks.that(job.returncode == 130 and not out, f"interrupted: exit {job.returncode}, {err}")
    bench.checks.that(hashes(folder) == before, "interrupted: nothing left, nothing changed")


def on_a_terminal(bench):
    """What is done is told in one line that is written over, on a terminal only; --quiet silences it."""
    that, folder = bench.checks.that, bench.copy()

    def seen(*arguments):
        ours, theirs = pty.openpty()
        done = subprocess.run([bench.tool.path, *CUT, *arguments], cwd=folder, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                              stderr=theirs, check=True)
        os.close(theirs)
        shown = b""
        try:
            while piece := os.read(ours, 65536):
                shown += piece
        except OSError:  # the end, as Linux tells it
            pass
        os.close(ours)
        that(b"%" not in done.stdout, "no progress in the results")
        return shown.decode()

    shown = seen("--fresh")
    for stage in ("listening to the song", "choosing shots", "pictures for the page", "preview"):
        told = [int(percent) for percent in re.findall(rf"{stage}: +(\d+) %", shown)]
        that(told == sorted(told) and told[-1:] == [100], f"{stage}: {told}")
    rest = {words.strip() for words in re.findall(r": +\d+ %([^\r]*)\r", shown)}
    that(all(re.fullmatch(r"|, about \d+ (s|min) left", words) for words in rest), f"what is left is told as a time: {rest}")
    that("%" not in seen("--quiet"), "--quiet silences it")
    that("\r" not in bench.tool.must(*CUT, cwd=folder).stderr, "elsewhere there is none")


def damaged(bench):
    that, folder = bench.checks.that, bench.copy()
    clip = os.path.join(folder, "footage", "K_01.mp4")
    done = subprocess.run(["ffprobe", "-v", "error", "-select_streams", "v", "-show_entries", "packet=pos,size", "-of",
                           "csv=p=0", clip], capture_output=True, text=True, check=True)
    with open(clip, "r+b") as file:
        for line in done.stdout.split():
            size, place = map(int, line.split(",")[:2])
            file.seek(place)
            file.write(b"\xff" * size)
    change_job(folder, lambda it: it["delivery"].update(length_s=10))
    told = bench.tool.must(*CUT, cwd=folder)
    that(re.search(r"note: K_01\.mp4: the preview has a slate for (\d+) of \1 pictures", told.stderr),
         f"a clip that cannot be decoded is told: {told.stderr}")
    is_movie(bench, folder, "reel", 10)


if __name__ == "__main__":
    run((one_more_output, of_each_cut, in_another_form, guarded, together_or_not_at_all, interrupted, on_a_terminal, damaged), "preview")
