# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Measures a cut against a truth about beats and contacts, from the edit list and the files alone."""
import bisect

import clock
import edl_reader


class Shot:
    """Picture events that go on with one another: record range in frames from the first one, source in seconds
    of the file. More than one event where the speed changes within the shot."""

    def __init__(self, file, record_in, record_out, source_in_s, speed, marks, rate):
        self.file, self.record_in, self.record_out = file, record_in, record_out
        self.marks, self.rate = marks, rate
        self.parts = [(record_in, source_in_s, float(speed))]

    def go_on(self, other):
        """Another event that begins with the picture that would have come next."""
        self.record_out = other.record_out
        self.marks = self.marks + other.marks
        self.parts += other.parts

    def shown_at_s(self, media_s):
        """Record second at which that instant of the file is seen."""
        record_in, source_in_s, speed = max((part for part in self.parts if part[1] <= media_s),
                                            key=lambda part: part[1], default=self.parts[0])
        return record_in / self.rate + (media_s - source_in_s) / speed


def shots_of(edl_path, rate, first_of):
    """The list's picture events; `first_of(clip name)` is a file's start label in list frames."""
    video = [event for event in edl_reader.read(edl_path, rate) if event.channel == "V" and not event.black]
    zero = video[0].record_in
    shots, before = [], None
    for event in video:
        source_in = (event.source_in - first_of(event.clip)) % clock.day_frames(rate, False)
        shot = Shot(event.clip, event.record_in - zero, event.record_out - zero, float(source_in / rate),
                    event.speed, [mark - zero for mark in event.marks], float(rate))
        goes_on = before and before.clip == event.clip and before.source_out == event.source_in
        if goes_on and before.speed != event.speed:
            shots[-1].go_on(shot)
        else:
            shots.append(shot)
        before = event
    return shots


def song_start_s(edl_path, rate):
    """Second of the song that plays at the first record frame."""
    events = edl_reader.read(edl_path, rate)
    first = min(event.record_in for event in events)
    song = next(event for event in events if event.channel == "A")
    return float((song.source_in - (song.record_in - first)) / rate)


def on_record(instants, song, edl_path, rate):
    """Instants of the song's own file in seconds from record start, as far as they are heard; `song` is the
    report's, which tells the pieces where the song was cut to length."""
    start = song_start_s(edl_path, rate)
    if "cut" not in song:
        return [at - start for at in instants]
    return [at - piece["in_s"] + piece["record_s"] - start for piece in song["cut"]["pieces"]
            for at in instants if piece["in_s"] <= at < piece["out_s"]]


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
