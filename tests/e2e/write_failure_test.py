# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The built program where it cannot write or is stopped: exit status, nothing half-written, last outputs untouched."""
import json
import os
import shutil
import signal
import subprocess
import sys
import time

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import small_day  # noqa: E402
from run_tool import hashes, unprivileged  # noqa: E402
from spoilt_jobs import change_job, change_row, run  # noqa: E402


def not_ours(bench):
    that, folder = bench.checks.that, bench.copy()
    edl = os.path.join(folder, "out", "reel.edl")
    with open(edl, "a", encoding="ascii") as file:
        file.write("* NOTE BY HAND\r\n")
    change_job(folder, lambda it: small_day.shorten(it, 5.0))
    bench.refused("output changed by hand", 5, ["cut", "job.json"], [r"reel\.edl", r"--force"], folder)
    done = bench.tool("cut", "job.json", "--force", cwd=folder)
    with open(edl, encoding="ascii") as file:
        that(done.returncode == 0 and "BY HAND" not in file.read(), f"--force overwrites: {done.stderr}")
    folder = bench.copy()
    for name in os.listdir(os.path.join(folder, "out")):
        with open(os.path.join(folder, "out", name), "w", encoding="ascii") as file:
            file.write("somebody else's\n")
    bench.refused("outputs of somebody else", 5, ["cut", "job.json"], [r"out/reel\.", r"--force"], folder)


def set_modes(folder, writable):
    for root, _, names in os.walk(folder):
        os.chmod(root, 0o777 if writable else 0o555)
        for name in names:
            os.chmod(os.path.join(root, name), 0o666 if writable else 0o444)


def read_only(bench):
    """Root ignores modes, so these run as nobody, with a copy of the program where nobody can reach it."""
    tool, that = bench.tool, bench.checks.that
    old, tool.path = tool.path, bench.reachable_program()
    prefix = unprivileged()

    folder = bench.copy()
    set_modes(folder, True)
    change_job(folder, lambda it: small_day.shorten(it, 5.0))
    done = tool("cut", "job.json", cwd=folder, prefix=prefix)
    that(done.returncode == 0, f"an ordinary user may cut where it may write: {done.stderr}")
    set_modes(os.path.join(folder, "out"), False)
    change_job(folder, small_day.shorten)
    bench.refused("read-only output folder", 5, ["cut", "job.json"], r"out\b", folder, prefix=prefix)
    change_job(folder, lambda it: it.update(out="new_out"))
    set_modes(folder, False)
    bench.refused("no right to make the output folder", 5, ["cut", "job.json"], r"new_out", folder, prefix=prefix)
    bench.refused("read-only folder for a new job", 5, ["new", "footage", "--music", "song.wav", "--in", "out"],
                  r"out\b", folder, prefix=prefix)
    set_modes(folder, True)
    change_row(folder, "K_04.mp4", contacts="")
    set_modes(folder, False)
    bench.refused("read-only folder, log to be updated", 5, ["log", "job.json"], r"log\.csv", folder, prefix=prefix)
    set_modes(folder, True)
    os.chmod(os.path.join(folder, "footage", "K_05.mp4"), 0)
    bench.refused("clip nobody may read", 3, ["cut", "job.json"], r"K_05\.mp4", folder, prefix=prefix)
    set_modes(folder, True)
    tool.path = old


def in_full_disk(program, folder):
    """Runs inside a mount namespace of its own: a disk of 2 MiB with the last outputs on it, filled up to
    the last page, so that the next output begins to be written and then finds no room."""
    out = os.path.join(folder, "out")
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2m", "none", out], check=True)
    first = subprocess.run([program, "cut", "job.json"], cwd=folder, capture_output=True, text=True)
    change_job(folder, lambda it: small_day.shorten(it, 5.0))
    with open(os.path.join(out, "filler"), "wb", buffering=0) as file:
        try:
            while True:
                file.write(b"x" * 1024)
        except OSError:
            file.truncate(max(0, (file.tell() // 4096 - 1) * 4096))
    before = hashes(folder)
    done = subprocess.run([program, "cut", "job.json"], cwd=folder, capture_output=True, text=True)
    json.dump({"first": first.returncode, "code": done.returncode, "out": done.stdout, "err": done.stderr,
               "before": before, "after": hashes(folder)}, sys.stdout)


def disk_full(bench):
    folder = bench.copy()
    shutil.rmtree(os.path.join(folder, "out"))
    os.mkdir(os.path.join(folder, "out"))
    unshare = ["unshare", "--mount", *([] if os.geteuid() == 0 else ["--map-root-user"])]
    trial = subprocess.run([*unshare, "mount", "-t", "tmpfs", "none", os.path.join(folder, "out")], capture_output=True)
    if trial.returncode == 0:
        inside = [*unshare, sys.executable, os.path.abspath(__file__), "--in-full-disk", bench.tool.path, folder]
        told = json.loads(subprocess.run(inside, capture_output=True, text=True, check=True).stdout)
        bench.checks.that(told["first"] == 0, "disk full: the first cut fits")
        done = subprocess.CompletedProcess(inside, told["code"], told["out"], told["err"])
        bench.judge("disk full", 5, r"out/reel\.", done, told["before"], told["after"])
    else:
        print("-- disk full: no mount namespace is permitted here; the limit on file size below stands in for it")

    # A second way to run out of space, which needs no rights: no file may grow past 1 KiB.
    folder = bench.copy()
    change_job(folder, lambda it: small_day.shorten(it, 5.0))
    bench.refused("no room for the whole file", 5, ["cut", "job.json"], r"out/reel\.", folder,
                  prefix=("sh", "-c", "trap '' XFSZ; ulimit -f 1; exec \"$0\" \"$@\""))


def nobody_listens(bench):
    """A standard error that takes nothing (a reader that has left, a full disk) changes no exit status."""
    that, folder = bench.checks.that, bench.copy()
    deaf = ("sh", "-c", "exec \"$0\" \"$@\" 2>/dev/full")
    done = bench.tool("impacts", "nowhere.mp4", cwd=folder, prefix=deaf)
    that(done.returncode == 3, f"error that nobody hears: exit {done.returncode}, expected 3")
    change_job(folder, lambda it: small_day.shorten(it, 5.0))
    done = bench.tool("cut", "job.json", cwd=folder, prefix=deaf)
    that(done.returncode == 0 and "reel.edl" in done.stdout, f"notes that nobody hears: exit {done.returncode}")


def reader_leaves(bench):
    """A reader that has seen enough (`| head -1`) is no failure; a standard output that is full is one."""
    that, folder = bench.checks.that, bench.copy()
    clips = [os.path.join("footage", name) for name in sorted(os.listdir(os.path.join(folder, "footage")))]
    for arguments in (["impacts", "--json", *clips], ["--help"]):
        left = ("sh", "-c", "{ sleep 0.2; \"$0\" \"$@\"; echo exit $? >&2; } | true")
        done = bench.tool(*arguments, cwd=folder, prefix=left)
        that(done.stderr.strip() == "exit 0", f"reader that left {arguments[0]}: {done.stderr!r}")
        full = ("sh", "-c", "exec \"$0\" \"$@\" >/dev/full")
        done = bench.tool(*arguments, cwd=folder, prefix=full)
        that(done.returncode == 5, f"full standard output of {arguments[0]}: exit {done.returncode}, expected 5")


def interrupted(bench):
    folder = os.path.join(bench.place, "long")
    os.mkdir(folder)
    small_day.click_track(os.path.join(folder, "long.wav"), seconds=1500, rate=22050)
    before = hashes(folder)
    begun = time.monotonic()
    run = subprocess.Popen([bench.tool.path, "beats", "long.wav"], cwd=folder, stdin=subprocess.DEVNULL,
                           stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    time.sleep(0.4)
    still = run.poll() is None
    run.send_signal(signal.SIGINT)
    out, err = run.communicate(timeout=120)
    print(f"-- interrupted: exit {run.returncode} after {time.monotonic() - begun:.1f} s\n   {err.strip()}")
    bench.checks.that(still, "interrupted: 25 minutes of song were done in 0.4 s, too soon to interrupt")
    bench.checks.that(run.returncode == 130, f"interrupted: exit {run.returncode}, expected 130")
    bench.checks.that(not out and hashes(folder) == before, "interrupted: nothing printed, nothing left")


if __name__ == "__main__":
    if sys.argv[1] == "--in-full-disk":
        in_full_disk(*sys.argv[2:])
    else:
        run((not_ours, read_only, disk_full, nobody_listens, reader_leaves, interrupted), "write-failure")
