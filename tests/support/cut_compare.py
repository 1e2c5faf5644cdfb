# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Lays an EDL and an OTIO of one cut out as tables, record frame by record frame, and compares them. The EDL's
files are known by name and start timecode, the OTIO's by target_url and available range: two ways to the same
second of the same file."""
import os
import sys
from fractions import Fraction

import clock
import edl_reader
import otio_reader

HALF = Fraction(1, 2)


def edl_table(events, rate, first_of, drop=False):
    """{(track, record frame): (file name, source second, slack)} with tracks V, A, A2. Record frames count from the
    first picture; `first_of(clip name)` is the file's start label in list frames. The second is that at the middle
    of the record frame, by which its picture is chosen. The slack is what the one decimal of an M2 line leaves open:
    half a tenth of a frame a second."""
    zero = min(event.record_in for event in events if event.channel == "V")
    day = clock.day_frames(rate, drop)
    table = {}
    for event in events:
        if event.black:
            continue
        source_in = (event.source_in - first_of(event.clip)) % day
        for k in range(event.record_length):
            at = (source_in + (k + HALF) * event.speed) / rate
            slack = (k + HALF) * Fraction(1, 20) / rate / rate if event.retimed else Fraction(0)
            table[(event.channel, event.record_in - zero + k)] = (event.clip, at, slack)
    return table


def otio_table(cut):
    """The same from an OTIO: the first video track is V, audio tracks are A and A2 in their order."""
    audio = iter(("A", "A2"))
    names = ["V" if kind == "Video" else next(audio) for kind in cut.kinds]
    table = {}
    for item in cut.items:
        for k in range(item.record_out - item.record_in):
            at = (item.source_in + (k + HALF) * item.speed) / cut.rate - item.origin_s
            table[(names[item.track], item.record_in + k)] = (os.path.basename(item.file), at)
    return table


def differences(edl, otio):
    """Where the two tables differ, a sentence each."""
    found = []
    for key in sorted(set(edl) | set(otio)):
        a, b = edl.get(key), otio.get(key)
        if a is None or b is None:
            found.append(f"{key[0]} {key[1]}: {'EDL' if a else 'OTIO'} only")
        elif a[0] != b[0]:
            found.append(f"{key[0]} {key[1]}: EDL shows {a[0]}, OTIO {b[0]}")
        elif abs(a[1] - b[1]) > a[2]:
            found.append(f"{key[0]} {key[1]}: {a[0]} at {float(a[1]):.6f} s in the EDL, {float(b[1]):.6f} s in the OTIO")
    return found


def start_mismatch(events, cut):
    """Both lists must begin on one record frame (rule 21)."""
    first = min(event.record_in for event in events if event.channel == "V")
    return [] if first == cut.start else [f"EDL starts at record frame {first}, OTIO at {cut.start} (rule 21)"]


def reel_mismatches(events, cut):
    """A file's reel is the same in both lists (rule 5)."""
    edl = {event.reel: event.clip for event in events if not event.black}
    otio = {item.reel: os.path.basename(item.file) for item in cut.items}
    return [f"reel {reel}: {edl.get(reel)} in the EDL, {otio.get(reel)} in the OTIO (rule 5)"
            for reel in sorted(set(edl) | set(otio)) if edl.get(reel) != otio.get(reel)]


def compare(edl_paths, otio_path, rate, first_of, name_in_edl=lambda name: name, from_start=False):
    """All differences of a (split) EDL and an OTIO; `name_in_edl` spells a file name as the EDL must."""
    events = edl_reader.read_parts(edl_paths, rate, from_start)
    cut = otio_reader.read(otio_path)
    if cut.rate != rate:
        return [f"OTIO runs at {cut.rate}, the EDL was read at {rate}"]
    for item in cut.items:
        item.file = os.path.join(os.path.dirname(item.file), name_in_edl(os.path.basename(item.file)))
    found = start_mismatch(events, cut) + reel_mismatches(events, cut)
    drop = edl_reader.drop_frame(edl_paths[0])
    return found + differences(edl_table(events, rate, first_of, drop), otio_table(cut))


if __name__ == "__main__":
    import conform_render
    # cut_compare.py RATE FOOTAGE OTIO LIST...
    list_rate, footage = Fraction(sys.argv[1]), conform_render.Footage(sys.argv[2])
    result = compare(sys.argv[4:], sys.argv[3], list_rate, lambda clip: footage.file(clip).first_frame(list_rate))
    print("\n".join(result[:20]) or "the same cut, frame by frame")
    sys.exit(bool(result))
