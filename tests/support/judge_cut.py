# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Measures a cut against a truth about beats and contacts, from the edit list and the files alone."""
import bisect
import json
import re
import subprocess
from fractions import Fraction

import edl_reader

DAY_S = 24 * 3600


class Shot:
    """A picture event: record range in frames from the first one, source in seconds of the file."""

    def __init__(self, file, record_in, record_out, source_in_s, speed, marks, rate):
        self.file, self.record_in, self.record_out = file, record_in, record_out
        self.source_in_s, self.speed, self.marks, self.rate = source_in_s, speed, marks, rate

    def shown_at_s(self, media_s):
        """Record second at which that instant of the file is seen."""
        return self.record_in / self.rate + (media_s - self.source_in_s) / float(self.speed)

    def holds(self, media_s):
        return self.record_in <= self.shown_at_s(media_s) * self.rate < self.record_out


def label_frames(label, rate):
    """Count of frames that a timecode label stands for; ';' before the frames means drop frame."""
    hours, minutes, seconds, frames = map(int, re.split("[:;.]", label))
    nominal = round(rate)
    count = ((hours * 60 + minutes) * 60 + seconds) * nominal + frames
    if ";" in label:
        minutes += 60 * hours
        count -= nominal // 15 * (minutes - minutes // 10)
    return count


def start_frames(path, list_rate):
    """The file's start label as a count at the list's rate; 0 where it has none."""
    shown = subprocess.run(["ffprobe", "-v", "error", "-show_entries",
                            "stream=codec_type,r_frame_rate:stream_tags=timecode:format_tags=timecode",
                            "-of", "json", path], capture_output=True, text=True, check=True)
    told = json.loads(shown.stdout)
    streams = told.get("streams", [])
    labels = [one["tags"]["timecode"] for one in [*streams, told.get("format", {})] if "timecode" in one.get("tags", {})]
    if not labels:
        return 0
    video = next(one for one in streams if one["codec_type"] == "video")
    media_rate = Fraction(video["r_frame_rate"])
    return round(label_frames(labels[0], media_rate) * list_rate / media_rate)


def shots_of(edl_path, rate, path_of):
    """The list's picture events; `path_of` gives the path for a clip name. Rates are Fractions."""
    events = edl_reader.read(edl_path, rate)
    video = [event for event in events if event.channel == "V"]
    first = video[0].record_in
    starts, shots = {}, []
    for event in video:
        if event.clip not in starts:
            starts[event.clip] = start_frames(path_of(event.clip), rate)
        source_in = (event.source_in - starts[event.clip]) % int(DAY_S * round(rate))
        shots.append(Shot(event.clip, event.record_in - first, event.record_out - first,
                          float(source_in / rate), event.speed, [mark - first for mark in event.marks], float(rate)))
    return shots


def song_start_s(edl_path, rate):
    """Second of the song that plays at the first record frame."""
    events = edl_reader.read(edl_path, rate)
    first = min(event.record_in for event in events)
    song = next(event for event in events if event.channel == "A")
    return float((song.source_in - (song.record_in - first)) / rate)


def nearest(values, at):
    """The value of a sorted list nearest to `at`."""
    index = bisect.bisect_left(values, at)
    return min(values[max(0, index - 1):index + 1], key=lambda value: abs(value - at))


def anchored(shot, mark, contacts, within_frames=2.5):
    """The true contact that a marked one must be: the nearest, if it is shown near the mark at all."""
    if not contacts:
        return None
    found = min(contacts, key=lambda contact: abs(shot.shown_at_s(contact) * shot.rate - mark))
    return found if abs(shot.shown_at_s(found) * shot.rate - mark) <= within_frames else None


def errors_s(shots, contacts_of, beats, shift_s=0.0, first_mark_only=False):
    """Per marked contact: record instant of the true contact less the nearest true beat, or None where the
    mark stands on no true contact. A shift moves the truth, to see the measure notice."""
    out = []
    for shot in shots:
        for mark in shot.marks[:1] if first_mark_only else shot.marks:
            contact = anchored(shot, mark, contacts_of(shot.file))
            if contact is None:
                out.append((shot, None))
            else:
                at = shot.shown_at_s(contact) + shift_s
                out.append((shot, at - nearest(beats, at)))
    return out


def share(errors, limit_s):
    """How many of the contacts are true ones and within the limit; a hair is given for sums of binary fractions."""
    return sum(error is not None and abs(error) <= limit_s + 1e-9 for _, error in errors) / max(1, len(errors))
