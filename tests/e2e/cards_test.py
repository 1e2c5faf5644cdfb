# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""What lies on cards, through the built program: what is entered, what is passed over and told, and copies that are checked."""
import json
import os
import re
import shutil
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import small_day  # noqa: E402
from run_tool import hashes, unprivileged  # noqa: E402
from spoilt_jobs import change_row, run  # noqa: E402


def rows_of(folder):
    return small_day.read_log(os.path.join(folder, "log.csv"))[1]


def files_of(folder):
    return [row["file"] for row in rows_of(folder)]


def put(*path):
    os.makedirs(os.path.dirname(os.path.join(*path)), exist_ok=True)
    with open(os.path.join(*path), "wb") as file:
        file.write(b"x")


def day(bench):
    """A folder with the song and the footage in one, as on the first evening; no job yet."""
    folder = os.path.join(bench.place, f"day{bench.cases}")
    bench.cases += 1
    shutil.copytree(os.path.join(bench.good, "footage"), os.path.join(folder, "DCIM", "100ABCDE"))
    shutil.copy(os.path.join(bench.good, "song.wav"), folder)
    return folder


def told(bench, done, *patterns):
    print(done.stderr)
    bench.checks.that(done.returncode == 0, f"exit {done.returncode}: {done.stderr}")
    for pattern in patterns:
        bench.checks.that(re.search(pattern, done.stderr), f"not told: /{pattern}/")


def sorts(bench):
    that, folder = bench.checks.that, day(bench)
    for name in ("K_01.JPG", "K_02.dng", "K_01.THM", "K_01.xml", "K_01.SRT", "._K_01.mp4", "notes.pdf"):
        put(folder, "DCIM", "100ABCDE", name)
    clip = os.path.join(folder, "DCIM", "100ABCDE", "K_01.mp4")
    small = os.path.join(folder, "DCIM", "PROXY", "K_01.mp4")
    os.makedirs(os.path.dirname(small))
    subprocess.run(["ffmpeg", "-v", "error", "-i", clip, "-vf", "scale=32:18", "-c:v", "libx264", "-c:a", "copy", small],
                   check=True)
    shutil.copy(os.path.join(folder, "song.wav"), os.path.join(folder, "recorder.wav"))
    with open(os.path.join(folder, "recorder.wav"), "ab") as file:
        file.write(b"\0\0")
    done = bench.tool("new", ".", "--music", "song.wav", "--name", "Day 1", cwd=folder)
    told(bench, done, r"skipped: 2 photos, 3 sidecars, 1 proxy, 1 other file \(\.pdf\)\n", r"9 clips found, 9 rows added")
    expected = [f"DCIM/100ABCDE/K_{n:02d}.mp4" for n in range(1, 9)] + ["recorder.wav"]
    that(files_of(folder) == expected, f"entered: {files_of(folder)}")
    that(rows_of(folder)[8]["kind"] == "sound", "a recorder's file is a sound")
    with open(os.path.join(folder, "job.json"), encoding="utf-8") as file:
        that(json.load(file)["name"] == "Day 1", "--name names the job")
    os.mkdir(os.path.join(folder, "out"))
    with open(clip, "rb") as one, open(os.path.join(folder, "out", "Day 1.mp4"), "wb") as preview:
        preview.write(one.read() + b"\0\0\0\x08free")  # a movie of its own
    before = hashes(folder)
    told(bench, bench.tool("log", ".", cwd=folder), "9 clips found, 0 rows added", "the log was up to date already")
    that(hashes(folder) == before, "a second log changes nothing, and enters neither song nor outputs")
    # A proxy that a row names is footage, as is one whose clip is gone.
    os.remove(clip)
    told(bench, bench.tool("log", ".", cwd=folder), "1 row added", r"gone: DCIM/100ABCDE/K_01\.mp4")
    that(files_of(folder)[-1] == "DCIM/PROXY/K_01.mp4", "the last of a clip is not skipped")
    bench.refused("a name that no file can have", 2,
                  ["new", ".", "--music", "song.wav", "--name", "a/b", "--in", "x"], r"--name.*a/b", folder)


def copies(bench):
    that, folder = bench.checks.that, bench.copy()
    before = rows_of(folder)
    shutil.copytree(os.path.join(folder, "footage"), os.path.join(folder, "footage", "backup"))
    for _ in range(2):
        told(bench, bench.tool("log", "job.json", cwd=folder),
             r"8 files are copies of others and were left out: footage/backup/K_01\.mp4 is footage/K_01\.mp4, .* and 2 more",
             "8 clips found, 0 rows added", "listened to 0 of them")
        that(rows_of(folder) == before, "copies change nothing in the log")
    # The first of two new ones is entered.
    shutil.rmtree(os.path.join(folder, "footage", "backup"))
    clip = os.path.join(bench.good, "footage", "K_01.mp4")
    for name in ("n1.mp4", "n2.mp4"):
        target = os.path.join(folder, "footage", name)
        shutil.copy(clip, target)
        with open(target, "ab") as file:
            file.write(b"\0\0\0\x08free")
    told(bench, bench.tool("log", "job.json", cwd=folder), r"footage/n2\.mp4 is footage/n1\.mp4", "1 row added")


def renames(bench):
    that, folder = bench.checks.that, bench.copy()
    before = rows_of(folder)
    # Two clips of one size would be in doubt; the good job's differ, as the test needs.
    that(len({row["bytes"] for row in before}) == len(before), "each clip has its own size")
    os.makedirs(os.path.join(folder, "footage", "best"))
    os.rename(os.path.join(folder, "footage", "K_02.mp4"), os.path.join(folder, "footage", "best", "serve ana.mp4"))
    bench.refused("cut with a renamed file", 3, ["cut", "job.json"], r"K_02\.mp4: no such file(.|\n)*`downball log` also finds",
                  folder)
    done = bench.tool("log", "job.json", cwd=folder)
    told(bench, done, r"footage/K_02\.mp4 is called footage/best/serve ana\.mp4 now \(same size and length\)",
         "0 rows added", "listened to 0 of them")
    that("gone" not in done.stderr, "a file that was renamed is not gone")
    expected = [{**row, "file": row["file"].replace("K_02.mp4", "best/serve ana.mp4")} for row in before]
    that(rows_of(folder) == expected, "its row has the new name, and all else as before")
    again = hashes(folder)
    bench.tool.must("log", "job.json", cwd=folder)
    that(hashes(folder) == again, "log again changes nothing")


def changed(bench):
    that, folder = bench.checks.that, bench.copy()
    path = os.path.join(folder, "footage", "K_03.mp4")
    with open(path, "ab") as file:
        file.write(b"\0\0\0\x08free")
    before = hashes(folder)
    for _ in range(2):
        told(bench, bench.tool("log", "job.json", cwd=folder),
             r"footage/K_03\.mp4 has \d+ bytes, \d+ when it was logged: .*empty the cells contacts, bytes and duration_s")
    that(hashes(folder) == before, "a changed file changes nothing in the log")
    change_row(folder, "K_03.mp4", contacts="", bytes="", duration_s="")
    done = bench.tool("log", "job.json", cwd=folder)
    told(bench, done, "listened to 1 of them")
    that("when it was logged" not in done.stderr, "with its cells emptied it is as logged")


def copy_to(bench):
    that, folder = bench.checks.that, day(bench)
    os.rename(os.path.join(folder, "DCIM"), os.path.join(folder, "CARD A"))
    put(folder, "CARD A", "K_01.JPG")
    put(folder, "CARD A", ".index")
    new = ["new", "CARD A", "--music", "song.wav", "--copy-to", "disk"]
    card = os.path.join(folder, "CARD A")
    copy = os.path.join(folder, "disk", "CARD A")

    # A file of the system of which not even the first byte can be read (proc(5)) stands for a bad spot of the card.
    bad = os.path.join(card, "K_09.mp4")
    os.symlink("/proc/self/mem", bad)
    done = bench.tool(*new, cwd=folder)
    print(done.stderr)
    that(done.returncode == 3 and re.search(r"cannot be read: CARD A/K_09\.mp4: .*\n", done.stderr) and
         "10 copied" in done.stderr, f"unreadable: exit {done.returncode}: {done.stderr}")
    os.remove(bad)
    that(not os.path.exists(os.path.join(folder, "job.json")), "unreadable: no job is started")
    that(hashes(copy) == hashes(card), "unreadable: all else is copied")

    other = os.path.join(copy, "100ABCDE", "K_05.mp4")
    with open(other, "ab") as file:
        file.write(b"more")
    bench.refused("another file in the copy's place", 5, new, r"stays as it is: disk/CARD A/100ABCDE/K_05\.mp4", folder)
    os.remove(other)
    done = bench.tool(*new, cwd=folder)
    told(bench, done, r"1 file copied to disk/CARD A and compared, 9 were there already", "8 clips found, 8 rows added")
    that(hashes(copy) == hashes(card), "the copy is the card")
    that(files_of(folder)[0] == "disk/CARD A/100ABCDE/K_01.mp4", "the log names the copies")
    with open(os.path.join(folder, "job.json"), encoding="utf-8") as file:
        job = json.load(file)
    that(job["footage"] == ["disk/CARD A"] and job["name"] == "CARD A", f"the job's footage is the copy: {job['footage']}")

    shutil.copy(os.path.join(folder, "song.wav"), card)
    told(bench, bench.tool(*new, "--in", "with song", cwd=folder),
         r"1 file is a copy of another and was left out: "
         r"\.\./disk/CARD A/song\.wav is \.\./song\.wav", "8 clips found, 8 rows added")

    for into in ("CARD A/x", "."):
        bench.refused(f"copy to {into}", 3, [*new[:-1], into, "--in", "x"], r"choose another folder for the copy", folder)
    os.remove(os.path.join(card, ".index"))  # it would fit, and stay
    os.makedirs(os.path.join(folder, "other", "CARD A", "100ABCDE"))
    bench.refused("copy to a disk without room", 5, [*new[:-1], "other", "--in", "x"], r"other/CARD A/100ABCDE/K_01\.mp4",
                  folder, prefix=("sh", "-c", "trap '' XFSZ; ulimit -f 1; exec \"$0\" \"$@\""))


def removable(bench):
    """In a mount namespace of its own, with a card mounted where desktops do."""
    that, folder = bench.checks.that, bench.copy()
    unshare = ["unshare", "--mount", *([] if os.geteuid() == 0 else ["--map-root-user"])]
    mount = "mount -t tmpfs none /media"
    if subprocess.run([*unshare, "sh", "-c", mount], capture_output=True).returncode != 0:
        print("-- removable card: no mount namespace is permitted here")
        return
    insert = f"{mount} && mkdir /media/CARD && cp footage/K_01.mp4 /media/CARD && exec \"$0\" \"$@\""
    new = ["new", "/media/CARD", "--music", "song.wav", "--in"]
    done = bench.tool(*new, "lies", cwd=folder, prefix=(*unshare, "sh", "-c", insert))
    told(bench, done, r"/media/CARD is read where it lies, on a card .* that can be taken out; copy it first with --copy-to",
         "1 row added")
    that(done.stderr.count("taken out") == 1, "told once")
    done = bench.tool(*new, "copied", "--copy-to", "cards", cwd=folder, prefix=(*unshare, "sh", "-c", insert))
    told(bench, done, "1 file copied to cards/CARD and compared, 0 were there already", "1 row added")
    that("taken out" not in done.stderr, "a copy is no card")
    that(files_of(os.path.join(folder, "copied")) == ["../cards/CARD/K_01.mp4"], "the log names the copy")


def closed_folders(bench):
    """Folders that nobody may look into: one that Linux makes on its disks, and one that may hold clips."""
    that, tool, folder = bench.checks.that, bench.tool, bench.copy()
    old, tool.path = tool.path, bench.reachable_program()
    os.chmod(folder, 0o777)
    system, other = (os.path.join(folder, "footage", name) for name in ("lost+found", "b"))
    os.mkdir(system, 0)
    new = ["new", "footage", "--music", "song.wav", "--copy-to", "disk", "--in", "x"]
    told(bench, tool(*new, cwd=folder, prefix=unprivileged()), r"not copied: footage/lost\+found: Permission denied",
         "8 files copied", "8 rows added")
    os.mkdir(other, 0)
    new[-1] = "y"
    done = tool(*new, cwd=folder, prefix=unprivileged())
    that(done.returncode == 3 and "cannot be read: footage/b: Permission denied" in done.stderr,
         f"closed folder: exit {done.returncode}: {done.stderr}")
    for path in (system, other):
        os.chmod(path, 0o755)
    tool.path = old


if __name__ == "__main__":
    run((sorts, copies, renames, changed, copy_to, closed_folders, removable), "cards")
