# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Clips that are odd or broken, through `downball impacts`: what is there is heard at its right instant, what is
not is noted on stderr and in --json alike. Hits are laid at known instants into files that ffmpeg writes."""
import json
import os
import re
import shutil
import subprocess
import sys
import time
import wave

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import jsonschema  # noqa: E402
import numpy as np  # noqa: E402

import small_day  # noqa: E402
import sound_bank  # noqa: E402
from run_tool import Checks, Tool, Workplace, fail  # noqa: E402

SCHEMA = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "schemas", "impacts.schema.json")
HITS_S = [1.5, 3.0, 4.2, 6.5]
LENGTH_S = 8.0
PICTURE = ["-f", "lavfi", "-i", f"testsrc2=s=64x36:r=25:d={LENGTH_S}"]
H264 = ["-c:v", "libx264", "-preset", "ultrafast", "-threads", "1"]
SAME_S = 0.0015  # the millisecond ticks of Matroska, and the finder's own grid where samples lie otherwise on it


def ffmpeg(*words):
    subprocess.run(["ffmpeg", "-nostdin", "-v", "error", "-y", *map(str, words)], check=True)


class Ears:
    """What the program hears in files of one folder."""

    def __init__(self, tool, checks, folder):
        self.tool, self.checks, self.folder = tool, checks, folder
        with open(SCHEMA, encoding="utf-8") as file:
            self.schema = json.load(file)

    def path(self, name):
        return os.path.join(self.folder, name)

    def hear(self, name):
        """Instants and notes, from --json."""
        done = self.tool("impacts", name, "--json", cwd=self.folder)
        self.checks.that(done.returncode == 0, f"{name}: exit {done.returncode}: {done.stderr}")
        if done.returncode != 0:
            return [], []
        told = json.loads(done.stdout)
        jsonschema.validate(told, self.schema)
        notes = [line.removeprefix(name + ": ") for line in done.stderr.splitlines()]
        self.checks.that(notes == told["notes"], f"{name}: stderr says {notes}, --json {told['notes']}")
        instants = [contact["seconds"] for contact in told["contacts"]]
        print(f"-- {name}: {' '.join(f'{at:.4f}' for at in instants)}  {told['notes']}")
        return instants, told["notes"]

    def same(self, name, wanted, notes=(), within=SAME_S):
        """The file has just these contacts, and just these notes (patterns)."""
        instants, told = self.hear(name)
        off = [abs(a - b) for a, b in zip(instants, wanted)]
        self.checks.that(len(instants) == len(wanted) and max(off, default=0) <= within,
                         f"{name}: heard {instants}, expected {wanted}")
        self.checks.that(len(told) == len(notes) and all(map(re.search, notes, told)),
                         f"{name}: notes {told}, expected {list(notes)}")


def bed():
    """Surf with hits in it."""
    random = np.random.default_rng(3)
    sound = sound_bank.surf(random, LENGTH_S, 0.01)
    for instant in HITS_S:
        hit = 0.6 * small_day.thump(random)
        sound[int(instant * sound_bank.RATE):][:len(hit)] += hit
    return sound


def packets(path):
    """Place and size in the file of each sound packet, as the ffprobe program tells."""
    told = subprocess.run(["ffprobe", "-v", "error", "-select_streams", "a:0", "-show_entries", "packet=pos,size",
                           "-of", "json", path], capture_output=True, check=True).stdout
    return [(int(one["pos"]), int(one["size"])) for one in json.loads(told)["packets"]]


def damage(path, spoilt, first, count):
    """Copies the file with some packets overwritten: what a bad sector of a card leaves."""
    with open(path, "rb") as file:
        content = bytearray(file.read())
    for place, size in packets(path)[first:first + count]:
        content[place:place + size] = bytes(size)
    with open(spoilt, "wb") as file:
        file.write(content)


def forms(ears, clean):
    """Rates, channels, silence."""
    def make(name, *words):
        ffmpeg(*PICTURE, "-i", ears.path("hits.wav"), *words, *H264, ears.path(name))

    make("k96.mov", "-ar", 96000, "-c:a", "pcm_s24le")
    ears.same("k96.mov", clean)
    surround = "[1:a]pan=5.1|FL=c0|FR=c0|FC=c0|LFE=0*c0|BL=0.2*c0|BR=-0.2*c0[a]"
    make("surround.mov", "-filter_complex", surround, "-map", "0:v", "-map", "[a]", "-c:a", "pcm_s16le")
    ears.same("surround.mov", clean, [r"^channel 4 of 6 is silent"])
    make("surround.mp4", "-filter_complex", surround, "-map", "0:v", "-map", "[a]", "-c:a", "aac", "-b:a", "384k")
    ears.same("surround.mp4", clean, [r"^channel 4 of 6 is silent"], within=0.003)  # lossy
    make("dead.mov", "-af", "pan=stereo|c0=0*c0|c1=c0", "-c:a", "pcm_s16le")
    ears.same("dead.mov", clean, [r"^channel 1 of 2 is silent"])
    ffmpeg(*PICTURE, "-f", "lavfi", "-i", f"anullsrc=r=48000:d={LENGTH_S}", *H264, "-c:a", "aac",
           ears.path("silent.mp4"))
    ears.same("silent.mp4", [], [r"^the sound is silent from start to end"])

    ffmpeg(*PICTURE, *H264, ears.path("mute.mp4"))
    for arguments in (["mute.mp4"], ["mute.mp4", "--json"]):
        done = ears.tool("impacts", *arguments, cwd=ears.folder)
        ears.checks.that(done.returncode == 3 and not done.stdout and
                         re.search(r"mute\.mp4.*no sound.*by eye", done.stderr),
                         f"no sound track: exit {done.returncode}, {done.stdout}{done.stderr}")
    done = ears.tool("impacts", "--json", "mute.mp4", "hits.wav", cwd=ears.folder)
    ears.checks.that(done.returncode == 3 and done.stdout.count('"seconds"') == len(clean),
                     "several clips, one without sound: the others are heard, and the exit tells of the one")


def offsets(ears, clean):
    """Law: the sound's place beside the picture counts, where the container begins does not."""
    wav = ears.path("hits.wav")
    pcm = {"avi": [], "mkv": [], "offset.mov": ["-output_ts_offset", 3.7], "offset.mkv": ["-output_ts_offset", 37.21]}
    for name, words in pcm.items():
        ffmpeg(*PICTURE, "-i", wav, *H264, "-c:a", "pcm_s16le", *words, ears.path(f"pcm.{name}"))
        ears.same(f"pcm.{name}", clean)
    ffmpeg(*PICTURE, "-i", wav, *H264, "-c:a", "aac", ears.path("aac.mp4"))
    coded, _ = ears.hear("aac.mp4")
    for name, words in {"mkv": [], "ts": [], "offset.ts": ["-output_ts_offset", 3600.5],
                        "offset.mkv": ["-output_ts_offset", 5]}.items():
        ffmpeg("-i", ears.path("aac.mp4"), "-c", "copy", *words, ears.path(f"aac.{name}"))
        ears.same(f"aac.{name}", coded)

    for name, words in {"late.mov": ["pcm_s16le"], "late.mkv": ["pcm_s16le"], "late.mp4": ["aac"]}.items():
        ffmpeg(*PICTURE, "-itsoffset", 0.5, "-i", wav, "-map", "0:v", "-map", "1:a", *H264, "-c:a", *words,
               ears.path(name))
        ears.same(name, [at + 0.5 for at in (coded if name == "late.mp4" else clean)],
                  [r"^the sound begins at 0\.(500|479|478) s: no contacts could be heard before$"])
    ffmpeg(*PICTURE, "-t", 3.5, "-i", wav, "-map", "0:v", "-map", "1:a", *H264, "-c:a", "pcm_s16le",
           ears.path("short.mov"))
    ears.same("short.mov", [at for at in clean if at < 3.4],
              [r"^the sound ends at 3\.500 s, the pictures at 8\.000 s: no contacts could be heard after$"])


def broken(ears):
    """Six packets (128 ms) overwritten where nothing is struck; Matroska's demuxer gives up the whole cluster."""
    lost = r"^2\.1\d\d s to 2\.2\d\d s: 6 sound packets could not be decoded \(.+\), silence instead$"
    coded, _ = ears.hear("aac.mp4")
    damage(ears.path("aac.mp4"), ears.path("broken.mp4"), 100, 6)
    ears.same("broken.mp4", coded, [lost])
    ffmpeg("-i", ears.path("aac.mp4"), "-c", "copy", "-cluster_time_limit", 1000, ears.path("clusters.mkv"))
    damage(ears.path("clusters.mkv"), ears.path("broken.mkv"), 100, 6)
    instants, notes = ears.hear("broken.mkv")
    gaps = [re.fullmatch(r"(\d\.\d+) s to (\d\.\d+) s: the file holds no sound here, silence instead", note)
            for note in notes]
    if ears.checks.that(len(gaps) == 1 and gaps[0], f"broken.mkv: notes {notes}"):
        begin, end = map(float, gaps[0].groups())
        ears.checks.that(2.05 < begin < 2.2 and end - begin < 1.2, f"broken.mkv: a gap from {begin} to {end}")
        there = [at for at in coded if not begin - 0.1 < at < end + 0.1]
        ears.checks.that(len(there) >= 3 and all(min(abs(at - one) for one in instants) <= SAME_S for at in there),
                         f"broken.mkv: heard {instants}, expected at least {there}")

    with open(ears.path("aac.mp4"), "rb") as file:
        whole = file.read()
    ffmpeg("-i", ears.path("aac.mp4"), "-c", "copy", "-movflags", "faststart", ears.path("fast.mp4"))
    with open(ears.path("fast.mp4"), "rb") as file, open(ears.path("cut_off.mp4"), "wb") as cut:
        cut.write(file.read()[:len(whole) * 2 // 3])
    instants, notes = ears.hear("cut_off.mp4")
    end = re.search(r"the sound ends at (\d\.\d+) s, the pictures at 8\.000 s", " ".join(notes))
    if ears.checks.that(end, f"cut_off.mp4: notes {notes}"):
        there = [at for at in coded if at < float(end[1]) - 0.2]
        ears.checks.that(there and len(there) < len(coded) and len(instants) == len(there) and
                         all(abs(a - b) <= SAME_S for a, b in zip(instants, there)),
                         f"cut_off.mp4: heard {instants}, expected {there}")
    with open(ears.path("no_index.mp4"), "wb") as cut:
        cut.write(whole[:len(whole) // 2])
    done = ears.tool("impacts", "no_index.mp4", cwd=ears.folder)
    ears.checks.that(done.returncode == 3 and "no_index.mp4" in done.stderr, f"no index: {done.stderr}")

    # A stream of bare packets has no times: what a player plays runs on without the lost ones.
    ffmpeg("-i", ears.path("aac.mp4"), "-vn", "-c", "copy", ears.path("bare.aac"))
    bare, _ = ears.hear("bare.aac")
    damage(ears.path("bare.aac"), ears.path("broken.aac"), 100, 6)
    ears.same("broken.aac", bare[:1] + [at - 6 * 1024 / 48000 for at in bare[1:]], [r"may lie early$"], within=0.003)


def logged(ears):
    """The same clips in a job: `new` tells what could not be heard, and each is footage by marks made by hand."""
    that, tool, folder = ears.checks.that, ears.tool, ears.path("job")
    os.makedirs(os.path.join(folder, "footage"))
    for name in ("late.mov", "broken.mp4", "mute.mp4"):
        shutil.copy(ears.path(name), os.path.join(folder, "footage", name))
    ffmpeg(*PICTURE, "-i", ears.path("hits.wav"), "-ar", 4000, *H264, "-c:a", "pcm_s16le",
           os.path.join(folder, "footage", "slow.mov"))  # too few samples a second to hear a contact
    small_day.click_track(os.path.join(folder, "song.wav"))
    told = tool.must("new", "footage", "--music", "song.wav", cwd=folder).stderr
    print(told.strip())
    for pattern in (r"footage/late\.mov: the sound begins at 0\.500 s", r"footage/broken\.mp4: 2\.1\d+ s to .*silence",
                    r"slow\.mov: the sound has 4000 samples a second", r"4 clips found, 4 rows added"):
        that(re.search(pattern, told), f"new does not say /{pattern}/")
    header, rows = small_day.read_log(os.path.join(folder, "log.csv"))
    cells = {os.path.basename(row["file"]): row["contacts"] for row in rows}
    that(not cells["mute.mp4"] and not cells["slow.mov"] and cells["late.mov"] and cells["broken.mp4"],
         f"new: contacts {cells}")
    marks = {"mute.mp4": "2.0", "slow.mov": "2.52", "late.mov": "0.28"}  # the last one before the sound begins
    for row in rows:
        name = os.path.basename(row["file"])
        row.update(kind="action", use="must", marks=marks.get(name, ""))
        if name == "late.mov":
            row["contacts"] = "-"
    small_day.write_log(os.path.join(folder, "log.csv"), header, rows)
    small_day.edit_job(os.path.join(folder, "job.json"), small_day.shorten)
    done = tool("cut", "job.json", cwd=folder)
    print(done.stderr.strip())
    if not that(done.returncode == 0, f"cut of odd clips: exit {done.returncode}: {done.stdout}{done.stderr}"):
        return
    that("slow.mov: the sound has 4000 samples a second" in done.stderr, "cut tells whose sound it could not hear")
    with open(os.path.join(folder, "out", "reel.report.json"), encoding="utf-8") as file:
        shots = json.load(file)["shots"]
    for name, mark in marks.items():
        anchors = [anchor for shot in shots if shot["file"] == name for anchor in shot["anchors"]]
        that(anchors and all(abs(one["picture_s"] - float(mark)) < 1e-9 for one in anchors),
             f"{name}: anchored on {anchors}, marked at {mark}")


def hear_and_weigh(ears, name):
    """Instants printed, and the most memory the program took, in KiB. The kernel's figure for a finished child
    would count what this script had before the child began."""
    begun, peak = time.monotonic(), 0
    with subprocess.Popen([ears.tool.path, "impacts", name], cwd=ears.folder, stdin=subprocess.DEVNULL,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        while process.poll() is None:
            with open(f"/proc/{process.pid}/status", encoding="ascii", errors="replace") as status:
                found = re.search(r"VmHWM:\s+(\d+) kB", status.read())
            peak = max(peak, int(found[1]) if found else 0)
            time.sleep(0.002)
        printed, said = process.communicate()
    print(f"-- {name}: {time.monotonic() - begun:.1f} s, {peak / 1024:.1f} MiB at most")
    ears.checks.that(process.returncode == 0 and not said, f"{name}: exit {process.returncode}: {said}")
    return [float(line.split("\t")[0]) for line in printed.splitlines()], peak


def long_clip(ears):
    """Four hours of 8 kHz, silent but for a few hits: hardly more memory than for a minute, no drift of the clock."""
    rate, hours = 8000, 4
    hit = np.convolve(0.6 * small_day.thump(np.random.default_rng(3)), np.ones(6) / 6, "same")[::6]

    def write(name, seconds, instants):
        with wave.open(ears.path("long.wav"), "wb") as file:
            file.setparams((1, 2, rate, 0, "NONE", ""))
            for minute in range(seconds // 60):
                sound = np.zeros(60 * rate, "<i2")
                for instant in instants:
                    if 0 <= instant - 60 * minute < 59:
                        sound[int((instant - 60 * minute) * rate):][:len(hit)] = (32767 * hit).astype("<i2")
                file.writeframesraw(sound.tobytes())
        ffmpeg("-i", ears.path("long.wav"), "-c", "copy", ears.path(name))
        os.remove(ears.path("long.wav"))

    write("minute.mov", 60, [10.0])
    write("hours.mov", hours * 3600, [10.0, 7200.25, hours * 3600 - 10.0])
    near, before = hear_and_weigh(ears, "minute.mov")
    far, after = hear_and_weigh(ears, "hours.mov")
    os.remove(ears.path("hours.mov"))
    if not ears.checks.that(len(near) == 1 and abs(near[0] - 10) < 0.005, f"minute.mov: heard {near}"):
        return
    late = near[0] - 10.0
    wanted = [10.0 + late, 7200.25 + late, hours * 3600 - 10.0 + late]
    ears.checks.that(len(far) == 3 and all(abs(a - b) < 2e-6 for a, b in zip(far, wanted)),
                     f"hours.mov: heard {far}, expected {wanted}")
    # The samples are 220 MiB; what may grow is the container's index and a few numbers a second.
    grown = (after - before) / 1024
    ears.checks.that(grown < 16, f"four hours take {grown:.1f} MiB more than a minute")


def main():
    tool, checks = Tool(sys.argv[1]), Checks()
    with Workplace("odd-clips") as folder:
        ears = Ears(tool, checks, folder)
        long_clip(ears)
        sound_bank.write_wav(ears.path("hits.wav"), bed())
        clean, _ = ears.hear("hits.wav")
        if len(clean) != len(HITS_S) or max(abs(a - b) for a, b in zip(clean, HITS_S)) > 0.005:
            fail(f"of the hits at {HITS_S} the finder hears {clean}: nothing else here can be judged")
        forms(ears, clean)
        offsets(ears, clean)
        broken(ears)
        logged(ears)
    checks.finish()


if __name__ == "__main__":
    main()
