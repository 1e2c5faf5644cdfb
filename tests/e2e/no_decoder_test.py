# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""What was found before is not looked for again: no decoder is opened for it, and no file. And a clip that a bad disk
gives half of is heard as far as it goes, and nothing of that is kept."""
import json
import os
import shutil
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import small_day  # noqa: E402
from count_decoders import Counter  # noqa: E402
from run_tool import Checks, Tool, Workplace, hashes  # noqa: E402

# The song as cut is taken over where nothing of it changed: then the song's file is not opened either.
SONG_AS_CUT_IS_TAKEN_OVER = True


def told(case, done, opened):
    print(f"-- {case}: exit {done.returncode}, {opened}")


def first_look(count, that, folder):
    """Without a folder all is opened; this shows that the counting counts."""
    bare = folder + "-bare"
    shutil.copytree(folder, bare)
    small_day.edit_job(os.path.join(bare, "job.json"), lambda it: it.update(analysis={"folder": ""}))
    header, rows = small_day.read_log(os.path.join(bare, "log.csv"))
    for row in rows:
        row["contacts"] = ""
    small_day.write_log(os.path.join(bare, "log.csv"), header, rows)
    shutil.rmtree(os.path.join(bare, "out"))
    done, opened = count("cut", "job.json", cwd=bare)
    told("cut without a folder", done, opened)
    clips = set(os.listdir(os.path.join(folder, "footage")))
    that(done.returncode == 0, f"cut without a folder: {done.stderr}")
    that(clips <= set(opened.containers), f"every clip is opened: {sorted(opened.containers)}")
    that(len(opened.audio) >= 6, f"a decoder for each sound that is listened to: {opened.audio}")
    that(len(opened.video) >= 1, f"decoders for the pictures of the page: {opened.video}")
    that("song.wav" in opened.sounds, f"the song is opened: {opened.sounds}")
    done, opened = count("impacts", "--out", "fresh", "footage/K_01.mp4", cwd=bare)
    told("one clip", done, opened)
    that(opened.audio and set(opened.containers) == {"K_01.mp4"}, f"one clip: {opened.lines}")
    done, opened = count("impacts", "--out", "fresh", "footage/K_01.mp4", cwd=bare)
    told("one clip again", done, opened)
    that(not opened.lines, f"a clip that has its analysis costs no more than a look: {opened.lines}")


def unchanged(count, that, folder):
    done, opened = count("log", "job.json", cwd=folder)
    told("log, nothing changed", done, opened)
    that(done.returncode == 0, f"log, nothing changed: {done.stderr}")
    that(not opened.lines, f"log, nothing changed: nothing is opened: {opened.lines}")


def changed_limit(count, that, folder):
    for length_s in (5.0, 7.0):
        small_day.edit_job(os.path.join(folder, "job.json"), lambda it, length=length_s: small_day.shorten(it, length))
        song = hashes(os.path.join(folder, "out")).get("reel.song.wav")
        done, opened = count("cut", "job.json", cwd=folder)
        told(f"cut of {length_s} s", done, opened)
        that(done.returncode == 0, f"cut of {length_s} s: {done.stderr}")
        looked_at(that, f"cut of {length_s} s", opened)
        same_song = hashes(os.path.join(folder, "out")).get("reel.song.wav") == song
        that(not same_song, "another length is another song")

    # A limit that leaves the song as it is.
    small_day.edit_job(os.path.join(folder, "job.json"),
                       lambda it: it.update(variety={"confidence_floor": 0.55}))
    done, opened = count("cut", "job.json", cwd=folder)
    told("cut with another floor", done, opened)
    that(done.returncode == 0, f"cut with another floor: {done.stderr}")
    looked_at(that, "cut with another floor", opened)
    if SONG_AS_CUT_IS_TAKEN_OVER:
        that(not opened.sounds, f"the song as cut is taken over: {opened.sounds}")


def looked_at(that, case, opened):
    """Pictures that the page did not have before may be read, and nothing else of a clip."""
    that(not opened.audio, f"{case}: no sound is decoded: {opened.audio}")
    that(len(opened.containers) <= len(opened.video),
         f"{case}: clips are opened for pictures alone: {opened.containers}, {opened.video}")
    that(set(opened.sounds) <= {"song.wav"}, f"{case}: no sound file but the song: {opened.sounds}")


def bad_disk(count, that, folder):
    """The header stands at the front, so that a clip whose end cannot be read is still a clip."""
    source, clip = os.path.join(folder, "footage", "K_01.mp4"), os.path.join(folder, "bad.mp4")
    subprocess.run(["ffmpeg", "-nostdin", "-v", "error", "-y", "-i", source, "-c:v", "copy", "-c:a", "pcm_s16be",
                    "-movflags", "+faststart", "-f", "mov", clip], check=True)
    half = os.path.getsize(clip) * 55 // 100

    def contacts(**how):
        done, _ = count("impacts", "--json", "--floor", "0", "bad.mp4", cwd=folder, **how)
        that(done.returncode == 0, f"impacts: {done.stderr}")
        return json.loads(done.stdout)["contacts"], done.stderr

    whole, _ = contacts()
    part, said = contacts(bad_file="bad.mp4", bad_from=half)
    print(f"-- bad disk: {len(whole)} candidates in the whole clip, {len(part)} in what can be read\n   {said.strip()}")
    that(0 < len(part) < len(whole), "a clip is heard as far as it can be read")
    that(max(one["seconds"] for one in part) < 0.8 * max(one["seconds"] for one in whole), "and no farther")

    done, opened = count("impacts", "--out", "kept", "bad.mp4", cwd=folder, bad_file="bad.mp4", bad_from=half)
    told("bad disk, kept", done, opened)
    names = os.listdir(os.path.join(folder, "kept")) if os.path.isdir(os.path.join(folder, "kept")) else []
    that(opened.audio, "bad disk: it is listened to")
    that(not [name for name in names if name.endswith(".json")], f"bad disk: no analysis is kept: {names}")
    that(not done.stdout, f"bad disk: no analysis is named: {done.stdout}")
    that("no analysis of it is kept" in done.stderr, f"bad disk: said so: {done.stderr}")
    # Nothing behind the header can be read: the sound seems to be none, which is no finding either.
    with open(clip, "rb") as file:
        media_from = file.read().index(b"mdat") + 4
    done, _ = count("impacts", "--out", "kept", "bad.mp4", cwd=folder, bad_file="bad.mp4", bad_from=media_from)
    print(f"-- header alone: exit {done.returncode}\n   {done.stderr.strip()}")
    names = os.listdir(os.path.join(folder, "kept")) if os.path.isdir(os.path.join(folder, "kept")) else []
    that(not [name for name in names if name.endswith(".json")], f"header alone: no analysis is kept: {names}")
    that("cannot be read to its end" in done.stderr and "no sound" not in done.stderr, f"header alone: {done.stderr}")

    done, _ = count("impacts", "--out", "kept", "bad.mp4", cwd=folder)
    names = [name for name in os.listdir(os.path.join(folder, "kept")) if name.endswith(".clip.json")]
    that(len(names) == 1, f"good disk: its analysis is kept: {names}")
    with open(os.path.join(folder, "kept", names[0]), encoding="utf-8") as file:
        kept = json.load(file)["found"]["hearing"]["contacts"]
    that([one[0] for one in kept] == [one["seconds"] for one in whole], "and it is of the whole clip")


def main():
    tool, checks = Tool(sys.argv[1]), Checks()
    with Workplace("no-decoder") as place:
        folder = os.path.join(place, "job")
        os.mkdir(folder)
        small_day.make(tool, folder)
        count = Counter(tool, sys.argv[1], place)
        for part in (first_look, unchanged, changed_limit, bad_disk):
            part(count, checks.that, folder)
    checks.finish()


if __name__ == "__main__":
    main()
