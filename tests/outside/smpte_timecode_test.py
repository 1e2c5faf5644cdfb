# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Labels and frames as the npm package smpte-timecode 1.3.6 (MIT) counts them, held against `downball show`: a list with
its labels and an OTIO with the frame numbers must be the same cut, and labels that it refuses must be refused. Then
against the lists that conform_test writes, of all kinds of footage at every rate."""
import glob
import json
import os
import random
import re
import subprocess
import sys
from fractions import Fraction

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import npm  # noqa: E402
from run_tool import Checks, Tool, Workplace  # noqa: E402

PACKAGE = "smpte-timecode@1.3.6"
SKIPPED = 77  # as ctest is told
CLOCKS = [((24000, 1001), False), ((24, 1), False), ((25, 1), False), ((30000, 1001), False), ((30000, 1001), True),
          ((30, 1), False), ((48, 1), False), ((50, 1), False), ((60000, 1001), False), ((60000, 1001), True), ((60, 1), False)]
EVENTS = 900
# Reads {"rate", "drop", "frames", "labels"}; answers with the frames' labels, and for each label its frame or null.
COUNTER = """
const Timecode = require('smpte-timecode');
const asked = JSON.parse(require('fs').readFileSync(0, 'utf8'));
const rate = asked.rate[1] === 1 ? asked.rate[0] : asked.rate;
const frame = label => { try { return Timecode(label, rate, asked.drop).frameCount; } catch (fault) { return null; } };
console.log(JSON.stringify({labels: asked.frames.map(n => Timecode(n, rate, asked.drop).toString()),
                            frames: asked.labels.map(frame)}));
"""


def count(folder, rate, drop, frames=(), labels=()):
    asked = json.dumps({"rate": rate, "drop": drop, "frames": list(frames), "labels": list(labels)})
    done = subprocess.run(["node", "-e", COUNTER], cwd=folder, input=asked, capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def edl(events, drop):
    lines = ["TITLE: clock", f"FCM: {'DROP' if drop else 'NON-DROP'} FRAME"]
    for number, (reel, begin, end) in enumerate(events, 1):
        lines.append(f"{number:03}  {reel:<8} V     C        {begin} {end} {begin} {end}")
        lines.append(f"* FROM CLIP NAME: {reel.lower()}.mov")
    return "\r\n".join(lines) + "\r\n"


def time(frame, rate):
    return {"OTIO_SCHEMA": "RationalTime.1", "rate": rate, "value": frame}


def span(begin, length, rate):
    return {"OTIO_SCHEMA": "TimeRange.1", "start_time": time(begin, rate), "duration": time(length, rate)}


def otio(borders, rate, drop):
    clips = []
    for number, (begin, end) in enumerate(zip(borders, borders[1:])):
        reel = "AB"[number % 2]
        file = {"OTIO_SCHEMA": "ExternalReference.1", "metadata": {}, "name": "", "target_url": f"{reel.lower()}.mov",
                "available_range": span(0, 10**7, rate)}
        clips.append({"OTIO_SCHEMA": "Clip.2", "metadata": {"downball": {"reel": reel}}, "name": reel, "effects": [],
                      "markers": [], "enabled": True, "source_range": span(begin, end - begin, rate),
                      "media_references": {"M": file}, "active_media_reference_key": "M"})
    track = {"OTIO_SCHEMA": "Track.1", "metadata": {}, "name": "V", "kind": "Video", "source_range": None, "effects": [],
             "markers": [], "enabled": True, "children": clips}
    stack = {"OTIO_SCHEMA": "Stack.1", "metadata": {}, "name": "", "source_range": None, "effects": [], "markers": [],
             "enabled": True, "children": [track]}
    return {"OTIO_SCHEMA": "Timeline.1", "metadata": {"downball": {"drop_frame": drop}}, "name": "clock",
            "global_start_time": time(borders[0], rate), "tracks": stack}


def save(folder, name, text):
    with open(os.path.join(folder, name), "w", encoding="ascii", newline="") as file:
        file.write(text)
    return os.path.join(folder, name)


def same_cut(checks, tool, folder, rate, drop, dice):
    day = count(folder, rate, drop, labels=["23:59:59:%02d" % (-(-rate[0] // rate[1]) - 1)])["frames"][0]
    # Anywhere in the day, and around minutes, where drop frame skips.
    minute = day // 1440
    borders = {dice.randrange(day) for _ in range(EVENTS // 2)}
    while len(borders) <= EVENTS:
        borders.add(min(day, max(0, dice.randrange(1440) * minute + dice.randrange(-5, 6))))
    borders = sorted(borders)
    labels = count(folder, rate, drop, frames=borders)["labels"]
    events = [("AB"[n % 2], *pair) for n, pair in enumerate(zip(labels, labels[1:]))]
    name = f"{rate[0]}/{rate[1]}{' drop frame' if drop else ''}"
    list_path = save(folder, "clock.edl", edl(events, drop))
    other = save(folder, "clock.otio", json.dumps(otio(borders, rate[0] / rate[1], drop)))
    done = tool("show", list_path, "--against", other, "--rate", f"{rate[0]}/{rate[1]}")
    checks.that(done.returncode == 0 and "the same frames" in done.stdout, f"{name}: {done.stdout[-400:]}{done.stderr}")
    moved = save(folder, "moved.otio", json.dumps(otio([*borders[:7], borders[7] + 1, *borders[8:]], rate[0] / rate[1], drop)))
    if borders[7] + 1 < borders[8]:
        done = tool("show", list_path, "--against", moved, "--rate", f"{rate[0]}/{rate[1]}")
        checks.that(done.returncode == 6 and "1 frame in which" in done.stdout, f"{name}: one border a frame later is found")


def refused_alike(checks, tool, folder, rate, drop, dice):
    top = -(-rate[0] // rate[1])
    mark = ";" if drop else ":"
    labels = []
    for _ in range(EVENTS):
        seconds = 0 if dice.random() < 0.5 else dice.randrange(62)
        frames = dice.randrange(6) if dice.random() < 0.5 else dice.randrange(top + 3)
        labels.append(f"{dice.randrange(25):02}:{dice.randrange(61):02}:{seconds:02}{mark}{frames:02}")
    wanted = count(folder, rate, drop, labels=labels)["frames"]
    events = [("A", label, label) for label in labels]
    done = tool("show", save(folder, "labels.edl", edl(events, drop)), "--rate", f"{rate[0]}/{rate[1]}")
    # Only so many breaches are told, in the order of their lines; labels past the last of them prove nothing.
    refused = {int(line) for line in re.findall(r"^line (\d+): .*\(rule 7\)$", done.stdout, re.MULTILINE)}
    told = max(refused, default=0) if "... and" in done.stdout else 10**9
    pairs = [(label, frame is None, 3 + 2 * n in refused) for n, (label, frame) in enumerate(zip(labels, wanted)) if 3 + 2 * n <= told]
    apart = [pair for pair in pairs if pair[1] != pair[2]]
    checks.that(len(pairs) > 50 and any(pair[1] for pair in pairs) and not apart,
                f"{rate} drop={drop}: {len(pairs)} labels, judged otherwise: {apart[:5]}")


def edl_events(paths):
    """(channel, [source in, source out, record in, record out], M2 label or None) of each event, by its columns."""
    events = []
    for path in paths:
        with open(path, encoding="ascii") as file:
            lines = file.read().splitlines()
        for line in lines[2:]:
            if line[:1].isdigit():
                events.append([line[14:18].strip(), [line[at:at + 11] for at in (29, 41, 53, 65)], None])
            elif line.startswith("M2 "):
                events[-1][2] = line[-11:]
    return events, lines[1] == "FCM: DROP FRAME"


def otio_picture(path):
    """(first source frame, length) of each clip of the picture track, and the first record frame."""
    with open(path, encoding="utf-8") as file:
        root = json.load(file)
    ranges = [clip["source_range"] for clip in root["tracks"]["children"][0]["children"]]
    return [(each["start_time"]["value"], each["duration"]["value"]) for each in ranges], root["global_start_time"]["value"]


def labels_of_cut(checks, folder, cut):
    """All labels of its EDL exist, and on V they are the frames of its OTIO."""
    with open(os.path.join(cut, "plan.json"), encoding="utf-8") as file:
        rate = Fraction(json.load(file)["rate"])
    events, drop = edl_events(sorted(glob.glob(os.path.join(cut, "cut*.edl"))))
    last = "23:59:59:%02d" % (-(-rate.numerator // rate.denominator) - 1)
    labels = [label for _, four, _ in events for label in four] + [m2 for _, _, m2 in events if m2] + [last]
    frames = count(folder, (rate.numerator, rate.denominator), drop, labels=labels)["frames"]
    frame_of, day = dict(zip(labels, frames)), (frames[-1] or 0) + 1
    name = os.path.basename(cut)
    refused = [label for label in labels if frame_of[label] is None]
    if not checks.that(not refused, f"{name}: labels refused: {refused[:5]}"):
        return 0
    clips, at = otio_picture(os.path.join(cut, "cut.otio"))
    pictures = [event for event in events if event[0] == "V"]
    checks.that(len(pictures) == len(clips), f"{name}: {len(pictures)} pictures in the EDL, {len(clips)} in the OTIO")
    apart = []
    for (_, four, m2), (source, length) in zip(pictures, clips):
        source_in, source_out, record_in, record_out = (frame_of[label] for label in four)
        same = (source_in == source % day and record_in == at and record_out == at + length and
                (frame_of[m2] == source_in if m2 else (source_out - source_in) % day == length))
        apart += [] if same else [four]
        at += length
    checks.that(not apart, f"{name}: labels that are not the OTIO's frames: {apart[:3]}")
    return len(labels)


def written_lists(checks, build, folder):
    writer = os.path.join(os.path.abspath(build), "tests", "outside_conform_test")
    lists = os.path.join(folder, "lists")
    done = subprocess.run([writer, "[.lists]"], env={**os.environ, "DOWNBALL_LISTS": lists}, capture_output=True, text=True)
    checks.that(done.returncode == 0, f"{writer}: {done.stdout[-400:]}{done.stderr[-400:]}")
    cuts = sorted(glob.glob(os.path.join(lists, "*")))
    labels = sum(labels_of_cut(checks, folder, cut) for cut in cuts)
    print(f"{len(cuts)} cuts, {labels} labels")
    checks.that(len(cuts) >= 30 and labels > 20000, f"{len(cuts)} cuts with {labels} labels")


def main():
    tool, checks = Tool(sys.argv[1]), Checks()
    dice = random.Random(3)
    with Workplace("timecode") as folder:
        if not npm.install(folder, PACKAGE):
            print(f"not run: npm cannot fetch {PACKAGE}")
            sys.exit(SKIPPED)
        for rate, drop in CLOCKS:
            same_cut(checks, tool, folder, rate, drop, dice)
            refused_alike(checks, tool, folder, rate, drop, dice)
        written_lists(checks, sys.argv[1], folder)
    checks.finish()


if __name__ == "__main__":
    main()
