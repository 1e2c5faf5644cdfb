# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The folder that keeps what was found: whatever is wrong with it, a run does what it would do without one."""
import contextlib
import ctypes
import json
import os
import shutil
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import small_day  # noqa: E402
from run_tool import hashes, placeless, unprivileged  # noqa: E402
from spoilt_jobs import change_job, change_row, run  # noqa: E402


def kept(folder, ending=".json"):
    place = os.path.join(folder, "analysis")
    return sorted(name for name in os.listdir(place) if name.endswith(ending)) if os.path.isdir(place) else []


def place_of(folder, name):
    return os.path.join(folder, "analysis", name)


def clip_document(folder, clip):
    """The analysis of a clip in footage/, found by the length that only this clip has, and its content."""
    size = os.path.getsize(os.path.join(folder, "footage", clip))
    for name in kept(folder, ".clip.json"):
        with open(place_of(folder, name), encoding="utf-8") as file:
            document = json.load(file)
        if document["found"]["media"]["bytes"] == size:
            return name, document
    raise AssertionError(f"no analysis of {clip}")


def empty_log(folder):
    """Rows that nobody has listened to: `cut` then needs the hearing of every action."""
    header, rows = small_day.read_log(os.path.join(folder, "log.csv"))
    for row in rows:
        row["contacts"] = ""
    small_day.write_log(os.path.join(folder, "log.csv"), header, rows)


def outputs(folder):
    return placeless(os.path.join(folder, "out"), folder)


class Folders:
    """One job, unheard; what a run without an analysis folder makes of it, and copies whose folder is complete."""

    def __init__(self, bench):
        self.bench, self.that = bench, bench.checks.that
        self.plain = self.copy()
        shutil.rmtree(os.path.join(self.plain, "analysis"))
        change_job(self.plain, lambda it: it.update(analysis={"folder": ""}))
        self.cut(self.plain, "no folder")
        self.that(not os.path.exists(os.path.join(self.plain, "analysis")), "analysis.folder \"\": nothing is kept")
        done = bench.tool("log", "job.json", cwd=self.plain)
        self.that(done.returncode == 0 and not os.path.exists(os.path.join(self.plain, "analysis")),
                  f"analysis.folder \"\": log keeps nothing either: {done.stderr}")
        self.expected = outputs(self.plain)

    def copy(self):
        """As after `new`, with another length than the first cut had, so that there is something to do."""
        folder = self.bench.copy()
        empty_log(folder)
        shutil.rmtree(os.path.join(folder, "out"))
        return folder

    def cut(self, folder, case, **how):
        done = self.bench.tool("cut", "job.json", cwd=folder, **how)
        print(f"-- {case}: exit {done.returncode}\n   " + done.stderr.strip().replace("\n", "\n   "))
        self.that(done.returncode == 0, f"{case}: exit {done.returncode}, expected 0")
        return done.stderr

    def same(self, folder, case):
        now = outputs(folder)
        other = sorted(name for name in now.keys() | self.expected.keys() if now.get(name) != self.expected.get(name))
        self.that(not other, f"{case}: other outputs than without a folder: {other}")

    def notes(self, said):
        return [line for line in said.splitlines() if "note:" in line and "analysis" in line]


def all_from_the_folder(bench):
    folders, that = Folders(bench), bench.checks.that
    folder = folders.copy()
    name, document = clip_document(folder, "K_01.mp4")
    that(len(kept(folder, ".clip.json")) == 9, f"eight clips and the song are kept: {kept(folder)}")
    that(len(kept(folder, ".song.json")) == 1, f"the song's beats are kept: {kept(folder)}")
    before = hashes(os.path.join(folder, "analysis"))
    said = folders.cut(folder, "all from the folder")
    folders.same(folder, "all from the folder")
    that(not folders.notes(said), f"a whole folder is no talk: {said}")
    after = hashes(os.path.join(folder, "analysis"))
    that(all(after.get(one) == content for one, content in before.items() if ".clip." in one or ".song." in one),
         "clips and song are not written again")
    done = bench.tool("log", "job.json", cwd=folder)
    that(done.returncode == 0, f"log after it: {done.stderr}")
    again = hashes(os.path.join(folder, "analysis"))
    that(all(again.get(one) == content for one, content in after.items() if one.endswith(".json")), "nor by log")
    return folders


SPOILT = {"truncated": "damaged", "empty": "damaged", "flipped": "damaged", "misnamed": "damaged",
          "folder": "cannot be read", "unreadable": "cannot be read", "newer": "newer version"}


def spoilt_documents(bench):
    folders, that = all_from_the_folder(bench), bench.checks.that
    for case, words in SPOILT.items():
        for kind in ("clip", "song"):
            if case == "misnamed" and kind == "song":
                continue  # there is one song
            folder = folders.copy()
            name = clip_document(folder, "K_02.mp4")[0] if kind == "clip" else kept(folder, ".song.json")[0]
            spoil(case, folder, name)
            with as_nobody(bench, folder, case == "unreadable", place_of(folder, name)) as prefix:
                notes = folders.notes(folders.cut(folder, f"{case} {kind}", prefix=prefix))
                that(len(notes) == 1 and words in notes[0] and name in notes[0],
                     f"{case} {kind}: one note that names {name} and says {words}: {notes}")
                folders.same(folder, f"{case} {kind}")
                shutil.rmtree(os.path.join(folder, "out"))
                notes = folders.notes(folders.cut(folder, f"{case} {kind}, again", prefix=prefix))
                stays = case in ("newer", "folder")
                that(len(notes) == stays, f"{case} {kind}: told {'again' if stays else 'once'}: {notes}")
                folders.same(folder, f"{case} {kind}, again")


def spoil(case, folder, name):
    path = place_of(folder, name)
    with open(path, "rb") as file:
        text = file.read()
    if case == "truncated":
        text = text[:len(text) // 2]
    elif case == "empty":
        text = b""
    elif case == "flipped":
        text = text[:-9] + bytes([text[-9] ^ 1]) + text[-8:]
    elif case == "misnamed":
        other = next(one for one in kept(folder, ".clip.json") if one != name)
        with open(place_of(folder, other), "rb") as file:
            text = file.read()
    elif case == "newer":
        text = newer(text, name)
    os.remove(path)
    if case == "folder":
        os.mkdir(path)
        return
    with open(path, "wb") as file:
        file.write(text)


def newer(text, name):
    """A document as a later version would seal it; the hash is asked of the library itself."""
    library = ctypes.CDLL("libxxhash.so.0")
    library.XXH3_64bits.restype = ctypes.c_uint64
    library.XXH3_64bits.argtypes = [ctypes.c_char_p, ctypes.c_size_t]
    begin = text.index(b'"versions": [') + len(b'"versions": [')
    text = text[:begin] + b"99" + text[text.index(b",", begin):]
    at = text.index(b'"check": "') + len(b'"check": "')
    blank = text[:at] + b"0" * 16 + text[at + 16:]
    counted = name.encode() + b"\n" + blank
    return text[:at] + b"%016x" % library.XXH3_64bits(counted, len(counted)) + text[at + 16:]


@contextlib.contextmanager
def as_nobody(bench, folder, wanted, path):
    """Root reads everything, so that a file nobody may read needs another user."""
    if not wanted:
        yield ()
        return
    old, bench.tool.path = bench.tool.path, bench.reachable_program()
    for root, _, names in os.walk(folder):
        os.chmod(root, 0o777)
        for name in names:
            os.chmod(os.path.join(root, name), 0o666)
    os.chmod(path, 0)
    yield unprivileged()
    bench.tool.path = old


def spoilt_folders(bench):
    folders, that = Folders(bench), bench.checks.that
    folder = folders.copy()
    shutil.rmtree(os.path.join(folder, "analysis"))
    with open(os.path.join(folder, "analysis"), "w", encoding="ascii") as file:
        file.write("somebody's own\n")
    for command in ("cut", "log"):
        said = folders.cut(folder, "a file in the folder's place") if command == "cut" else \
            bench.tool("log", "job.json", cwd=folder).stderr
        that(len(folders.notes(said)) == 1 and "nothing is kept" in said,
             f"a file in the folder's place: one note by {command}: {said}")
    folders.same(folder, "a file in the folder's place")
    that(os.path.isfile(os.path.join(folder, "analysis")), "a file in the folder's place stays")
    done = bench.tool("impacts", "--out", "analysis", "footage", cwd=folder)
    that(done.returncode == 5 and not done.stdout, f"impacts --out into a file: exit {done.returncode}, expected 5")

    old, bench.tool.path = bench.tool.path, bench.reachable_program()
    for empty in (True, False):
        folder = folders.copy()
        if empty:
            for name in os.listdir(os.path.join(folder, "analysis")):
                os.remove(place_of(folder, name))
        os.chmod(folder, 0o777)
        os.chmod(os.path.join(folder, "analysis"), 0o555)
        before = hashes(os.path.join(folder, "analysis"))
        said = folders.cut(folder, f"a read-only folder, {'empty' if empty else 'full'}", prefix=unprivileged())
        folders.same(folder, "a read-only folder")
        that(hashes(os.path.join(folder, "analysis")) == before, "a read-only folder stays as it is")
        that(not empty or ("nothing is kept" in said and "right to write" in said), f"a read-only folder: {said}")
        os.chmod(os.path.join(folder, "analysis"), 0o755)
    bench.tool.path = old


def in_full_disk(program, folder):
    """Inside a mount namespace of its own: a disk for the analysis folder alone, with room for a page."""
    place = os.path.join(folder, "analysis")
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=4k", "none", place], check=True)
    with open(os.path.join(place, "filler"), "wb", buffering=0) as file:
        try:
            while True:
                file.write(b"x" * 1024)
        except OSError:
            pass
    done = subprocess.run([program, "cut", "job.json"], cwd=folder, capture_output=True, text=True)
    json.dump({"code": done.returncode, "err": done.stderr, "left": sorted(os.listdir(place))}, sys.stdout)


def disk_full(bench):
    folders, that = Folders(bench), bench.checks.that
    folder = folders.copy()
    shutil.rmtree(os.path.join(folder, "analysis"))
    os.mkdir(os.path.join(folder, "analysis"))
    unshare = ["unshare", "--mount", *([] if os.geteuid() == 0 else ["--map-root-user"])]
    trial = subprocess.run([*unshare, "mount", "-t", "tmpfs", "none", os.path.join(folder, "analysis")],
                           capture_output=True)
    if trial.returncode != 0:
        print("-- disk full: no mount namespace is permitted here")
        return
    inside = [*unshare, sys.executable, os.path.abspath(__file__), "--in-full-disk", bench.tool.path, folder]
    told = json.loads(subprocess.run(inside, capture_output=True, text=True, check=True).stdout)
    print(f"-- disk full: exit {told['code']}\n   " + told["err"].strip().replace("\n", "\n   "))
    that(told["code"] == 0 and "the disk is full" in told["err"], f"disk full: {told}")
    that(told["left"] == ["filler"], f"disk full: nothing half-written is left: {told['left']}")
    folders.same(folder, "disk full")


def another_clip(bench):
    """Same name, same size, same time: only what the file holds, and the time of the change, differ."""
    folders, that = Folders(bench), bench.checks.that
    folder = folders.copy()
    folders.cut(folder, "before the exchange")
    clips = [os.path.join(folder, "footage", f"K_0{number}.mp4") for number in (7, 1)]
    quiet, size = clips[0], max(os.path.getsize(clip) for clip in clips)
    with open(clips[1], "rb") as file:
        content = file.read()
    for clip in clips:
        pad = size - os.path.getsize(clip)
        if pad:  # an empty box behind the clip (ISO/IEC 14496-12)
            with open(clip, "ab") as file:
                file.write((pad + 8).to_bytes(4, "big") + b"free" + bytes(pad))
    size = max(os.path.getsize(clip) for clip in clips)
    for clip in clips:
        with open(clip, "ab") as file:
            rest = size - os.path.getsize(clip)
            file.write((rest + 8).to_bytes(4, "big") + b"free" + bytes(rest))
    stamp = os.stat(quiet)
    change_row(folder, "K_07.mp4", kind="action", skills="set attack", players="ana", contacts="")
    folders.cut(folder, "the quiet clip")
    quiet_names = set(kept(folder, ".clip.json"))
    with open(clips[1], "rb") as file:
        content = bytearray(file.read())
    content[-1:] = b"\1"  # no copy of K_01: a byte in the empty box differs
    with open(quiet, "r+b") as file:
        file.write(content)
    os.utime(quiet, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))
    that(os.stat(quiet).st_size == stamp.st_size and os.stat(quiet).st_mtime_ns == stamp.st_mtime_ns,
         "the exchange shows neither in size nor in time")
    folders.cut(folder, "the loud clip in its place")
    fresh = set(kept(folder, ".clip.json")) - quiet_names
    that(len(fresh) == 1, f"a clip exchanged is heard anew: {fresh}")
    for name in fresh:
        with open(place_of(folder, name), encoding="utf-8") as file:
            contacts = json.load(file)["found"]["hearing"]["contacts"]
        sure = [contact[0] for contact in contacts if contact[1] >= 0.5]
        that(any(abs(at - small_day.THUMPS_S[0]) < 0.05 for at in sure), f"and its own contacts are found: {sure}")


def moved_job(bench):
    folders, that = Folders(bench), bench.checks.that
    folder = folders.copy()
    elsewhere = os.path.join(bench.place, "elsewhere")
    shutil.move(folder, elsewhere)
    before = hashes(os.path.join(elsewhere, "analysis"))
    said = folders.cut(elsewhere, "a job that has moved")
    that(not folders.notes(said), f"a job that has moved: {said}")
    after = hashes(os.path.join(elsewhere, "analysis"))
    that({one for one in after if one.endswith((".clip.json", ".song.json"))} ==
         {one for one in before if one.endswith((".clip.json", ".song.json"))} and
         all(after[one] == content for one, content in before.items() if one.endswith((".clip.json", ".song.json"))),
         "a job that has moved finds its analyses")
    folders.same(elsewhere, "a job that has moved")


def at_once(bench):
    """Two jobs that begin at once on one empty folder: both make what one alone makes."""
    folders, that = Folders(bench), bench.checks.that
    lone, pair = folders.copy(), [folders.copy(), folders.copy()]
    shutil.rmtree(os.path.join(lone, "analysis"))
    folders.cut(lone, "one alone")
    shared = os.path.join(bench.place, "shared")
    for folder in pair:
        change_job(folder, lambda it: it.update(analysis={"folder": "../shared"}))
    runs = [subprocess.Popen([bench.tool.path, "cut", "job.json"], cwd=folder, stdin=subprocess.DEVNULL,
                             stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) for folder in pair]
    for folder, one in zip(pair, runs):
        said = one.communicate(timeout=300)[0]
        that(one.returncode == 0, f"at once: exit {one.returncode}: {said}")
        that("note: " not in "".join(line for line in said.splitlines() if "shared" in line), f"at once: {said}")
        folders.same(folder, "at once")
    names = os.listdir(shared)
    that(not [name for name in names if name.endswith(".part")], f"at once: nothing half-written: {names}")
    found = [name for name in kept(lone) if name.endswith((".clip.json", ".song.json"))]
    that(len(found) == 10, f"one alone: eight clips, the song and its beats: {found}")
    for name in found:
        with open(place_of(lone, name), "rb") as one, open(os.path.join(shared, name), "rb") as other:
            that(one.read() == other.read(), f"at once: {name} is as one process makes it")


if __name__ == "__main__":
    if sys.argv[1] == "--in-full-disk":
        in_full_disk(*sys.argv[2:])
    else:
        run((spoilt_documents, spoilt_folders, disk_full, another_clip, moved_job, at_once), "analysis-folder")
