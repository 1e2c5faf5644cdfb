# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""An independent reader of CMX3600-style edit lists. It knows the published form of the list, nothing of the
program that wrote it, and takes nothing on trust: breaches(path, rate) names every rule that is broken,
read(path, rate) refuses a list that breaks any."""
import re
import sys
from fractions import Fraction

import clock

EVENT = re.compile(r"(?P<number>\d{3})  (?P<reel>[A-Z0-9]{1,8} *) (?P<channel>\S+ *)  (?P<code>[A-Z]\d{0,3} *) "
                   r"(?P<length>[ \d]{3}) (?P<times>\S{11} \S{11} \S{11} \S{11})")
SPEED = re.compile(r"M2   (?P<reel>[A-Z0-9]{1,8}) +(?P<number>-?\d{3}\.\d) +(?P<at>\S{11})")
MARKER = re.compile(r"\* LOC: (?P<at>\S{11}) (?P<colour>[A-Z]+) +(?P<text>\S.*)")
CHANNELS = {"V", "A", "A2", "AA", "B", "A2/V", "AA/V", "NONE"}
COLOURS = {"RED", "GREEN", "BLUE", "CYAN", "MAGENTA", "YELLOW", "BLACK", "WHITE"}
CLIP_NAME = "* FROM CLIP NAME: "
BLACK = "BL"


class BrokenList(ValueError):
    pass


class Event:
    """One event, in frames at the list's rate. `speed` is what a reader of the M2 line plays; `marks` are the
    record frames of its markers. source_out may be less than source_in where a clip crosses midnight."""

    def __init__(self, number, line, reel, channel, source_in, source_out, record_in, record_out):
        self.number, self.line, self.reel, self.channel = number, line, reel, channel
        self.source_in, self.source_out = source_in, source_out
        self.record_in, self.record_out = record_in, record_out
        self.clip = None
        self.speed = Fraction(1)
        self.retimed = False
        self.marks, self.mark_texts = [], []

    @property
    def black(self):
        return self.reel == BLACK

    @property
    def record_length(self):
        return self.record_out - self.record_in


class _Reading:
    def __init__(self, data, rate):
        self.rate = rate
        self.broken = []
        self.title = None
        self.drop = None
        self.events = []
        self.comments = {}
        self._lines(data)

    def complain(self, line, text):
        self.broken.append(f"line {line}: {text}")

    def _lines(self, data):
        if data.startswith(b"\xef\xbb\xbf"):
            self.complain(1, "byte-order mark (rule 1)")
            data = data[3:]
        for number, raw in enumerate(data.split(b"\n"), 1):
            for byte in raw.rstrip(b"\r"):
                if byte == 9:
                    self.complain(number, "tab (rule 1)")
                    break
                if byte > 126 or byte < 32:
                    self.complain(number, f"byte {byte:#04x} is no printable ASCII (rule 1)")
                    break
        ends = {b"\r\n" if end.endswith(b"\r") else b"\n" for end in data.split(b"\n")[:-1]}
        if len(ends) > 1 or b"\r" in data.replace(b"\r\n", b""):
            self.complain(1, "line ends of more than one kind (rule 1)")
        if not data.endswith(b"\n"):
            self.complain(data.count(b"\n") + 1, "the last line has no line end: the list is cut short (rule 1)")
        text = data.decode("ascii", "replace").replace("\r\n", "\n")
        lines = text.split("\n")
        if lines[-1] == "":
            lines.pop()
        for number, line in enumerate(lines, 1):
            self._line(number, line)
        if self.drop is None:
            self.complain(2, "no FCM line (rule 2)")
        self._whole()

    def _line(self, number, line):
        if number == 1:
            if not line.startswith("TITLE: ") or not line[7:].strip():
                self.complain(1, "expected 'TITLE: ...' (rule 2)")
            self.title = line[7:]
        elif number == 2:
            kinds = {"FCM: DROP FRAME": True, "FCM: NON-DROP FRAME": False}
            if line not in kinds:
                self.complain(2, "expected an FCM line (rule 2)")
            self.drop = kinds.get(line, False)
            if self.drop and self.rate not in (Fraction(30000, 1001), Fraction(60000, 1001)):
                self.complain(2, f"drop frame does not exist at {self.rate} (rule 7)")
        elif re.match(r"\d", line):
            self._event(number, line)
        elif line.startswith("M2"):
            self._speed(number, line)
        elif not line.startswith("* "):
            self.complain(number, f"neither event, M2 nor comment: {line[:30]!r} (rule 2)")
        elif not self.events:
            self.complain(number, "comment before the first event (rule 2)")
        else:
            self._comment(number, line)

    def _frames(self, number, label, separator):
        if len(label) == 11 and label[8] != separator:
            self.complain(number, f"{label}: expected {separator!r} before the frames (rule 7)")
        try:
            return clock.frames(label, self.rate, bool(self.drop))
        except clock.BadLabel as bad:
            self.complain(number, f"{bad} (rule 7)")
            return None

    def _event(self, number, line):
        match = EVENT.fullmatch(line)
        if not match or len(line) != 76:
            self.complain(number, "not the 76 columns of an event (rule 3)")
            return
        channel, code = match["channel"].rstrip(), match["code"].rstrip()
        if channel not in CHANNELS or len(match["channel"]) != 4:
            self.complain(number, f"channel {channel!r} (rule 6)")
        if code != "C":
            self.complain(number, f"transition {code!r}: only cuts are expected (rule 6)")
        if match["length"].strip():
            self.complain(number, "a cut has no duration (rule 3)")
        if len(match["reel"]) != 8:
            self.complain(number, "reel out of its columns (rule 3)")
        times = [self._frames(number, label, ";" if self.drop else ":") for label in match["times"].split(" ")]
        expected = len(self.events) + 1
        if int(match["number"]) != expected:
            self.complain(number, f"event {match['number']}, expected {expected:03} (rule 4)")
        if None in times:
            times = [time or 0 for time in times]
        self.events.append(Event(int(match["number"]), number, match["reel"].rstrip(), channel, *times))
        self.comments[self.events[-1].number] = []

    def _speed(self, number, line):
        match = SPEED.fullmatch(line)
        if not match:
            self.complain(number, "not the form of an M2 line (rule 10)")
            return
        if not self.events or self.events[-1].line != number - 1:
            self.complain(number, "M2 does not follow its event directly (rule 9)")
            return
        event = self.events[-1]
        if match["reel"] != event.reel:
            self.complain(number, f"M2 of reel {match['reel']} under reel {event.reel} (rule 10)")
        if self._frames(number, match["at"], ":") != event.source_in:
            self.complain(number, "M2 timecode is not the event's source in (rule 10)")
        event.speed = Fraction(match["number"]) / self.rate
        event.retimed = True
        if event.speed <= 0:
            self.complain(number, "speed is not above zero (rule 10)")

    def _comment(self, number, line):
        event = self.events[-1]
        self.comments[event.number].append(line)
        if line.startswith(CLIP_NAME):
            if event.clip is not None:
                self.complain(number, "a second clip name (rule 11)")
            event.clip = line[len(CLIP_NAME):]
            if not event.clip.strip() or "/" in event.clip or "\\" in event.clip:
                self.complain(number, f"{event.clip!r} is no file name (rule 11)")
        elif line.startswith("* LOC"):
            match = MARKER.fullmatch(line)
            if not match or match["colour"] not in COLOURS:
                self.complain(number, "not the form of a marker (rule 12)")
                return
            at = self._frames(number, match["at"], ":")
            if at is not None and not event.record_in <= at < event.record_out:
                self.complain(number, f"marker at {match['at']} outside its event (rule 12)")
            event.marks.append(at)
            event.mark_texts.append(match["text"])

    def _whole(self):
        if not self.events:
            self.complain(3, "no events (rule 2)")
            return
        if len(self.events) > 999:
            self.complain(self.events[999].line, "more than 999 events (rule 4)")
        files, reels = {}, {}
        day = clock.day_frames(self.rate, bool(self.drop))
        for event in self.events:
            self._lengths(event, day)
            if event.black:
                continue
            if event.clip is None:
                self.complain(event.line, f"event {event.number:03} has no FROM CLIP NAME (rule 11)")
                continue
            if files.setdefault(event.reel, event.clip) != event.clip:
                self.complain(event.line, f"reel {event.reel} is both {files[event.reel]} and {event.clip} (rule 5)")
            reels.setdefault(event.clip, event.reel)
        self._tiling()

    def _lengths(self, event, day):
        if event.record_length <= 0:
            self.complain(event.line, "record out is not after record in (rule 8)")
            return
        source_length = (event.source_out - event.source_in) % day
        if not event.retimed:
            if source_length != event.record_length:
                self.complain(event.line, f"source has {source_length} frames, record {event.record_length}, "
                                          "and no M2 line follows (rule 9)")
        elif abs(source_length - event.record_length * event.speed) > 1:
            self.complain(event.line, f"source has {source_length} frames, {event.record_length} record frames at "
                                      f"{float(event.speed):.4f} use {float(event.record_length * event.speed):.2f} "
                                      "(rule 10)")

    def _tiling(self):
        for channel in sorted({event.channel for event in self.events}):
            track = [event for event in self.events if event.channel == channel]
            for before, after in zip(track, track[1:]):
                if after.record_in < before.record_out:
                    self.complain(after.line, f"overlaps event {before.number:03} on {channel} (rule 8)")
                elif channel == "V" and after.record_in > before.record_out:
                    self.complain(after.line, f"gap of {after.record_in - before.record_out} frames on V (rule 8)")
        video = [event for event in self.events if event.channel == "V"]
        if not video:
            self.complain(3, "no event on V (rule 8)")
            return
        for event in self.events:
            if event.record_in < video[0].record_in or event.record_out > video[-1].record_out:
                self.complain(event.line, f"{event.channel} lies outside the picture's first and last frame (rule 8)")


def _as_rate(rate):
    return rate if isinstance(rate, Fraction) else clock.exact_rate(rate)


def breaches(path, rate):
    """Every rule the list breaks, a sentence each; empty = none."""
    with open(path, "rb") as file:
        return _Reading(file.read(), _as_rate(rate)).broken


def read(path, rate):
    """The events of a list that keeps all rules."""
    with open(path, "rb") as file:
        reading = _Reading(file.read(), _as_rate(rate))
    if reading.broken:
        raise BrokenList(f"{path}: " + "; ".join(reading.broken[:20]))
    return reading.events


def drop_frame(path):
    """Whether the list counts in drop frame."""
    with open(path, encoding="ascii") as file:
        return "FCM: DROP FRAME" in file.read(200)


def read_parts(paths, rate, from_start=False):
    """The events of a list that was split: each part keeps all rules alone, and on V each begins where the last
    ended, or if they say so where the first began. Pieces of one sound that were divided at a border are joined again."""
    joined = []
    for path in paths:
        events = read(path, rate)
        if joined:
            last = max(event.record_out for event in joined if event.channel == "V")
            first = min(event.record_in for event in events if event.channel == "V")
            wanted = min(event.record_in for event in joined if event.channel == "V") if from_start else last
            if first != wanted:
                raise BrokenList(f"{path}: begins at record frame {first}, expected {wanted} (rule 4)")
            for event in events:
                event.record_in += last - first
                event.record_out += last - first
                event.marks = [mark + last - first for mark in event.marks]
        for event in events:
            before = next((e for e in reversed(joined) if e.channel == event.channel), None)
            if (event.channel != "V" and before and before.clip == event.clip and
                    before.record_out == event.record_in and before.source_out == event.source_in):
                before.record_out, before.source_out = event.record_out, event.source_out
            else:
                joined.append(event)
    return joined


if __name__ == "__main__":
    found = breaches(sys.argv[1], Fraction(sys.argv[2]))
    print("\n".join(found) or "keeps all rules")
    sys.exit(bool(found))
