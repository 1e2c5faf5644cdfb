# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Renders a cut with ffmpeg by following one edit list alone, into a hash a record frame.

An EDL's files are found by FROM CLIP NAME in a footage folder, their start timecode is asked of ffprobe; an OTIO's
by target_url. Record frame k of an event shows the last picture whose presentation time, counted from the file's
first picture, is at or before source in + (k + 1/2) / rate x speed. Each clip is decoded once.

    conform_render.py edl RATE FOOTAGE LIST...        a hash a record frame
    conform_render.py otio LIST                       the same
    conform_render.py both RATE FOOTAGE OTIO LIST...  rules, tables and pictures compared; exit 1 if they differ"""
import bisect
import concurrent.futures
import hashlib
import json
import math
import os
import subprocess
import sys
from fractions import Fraction

import clock
import edl_reader
import otio_reader

HALF = Fraction(1, 2)
WIDTH, HEIGHT = 160, 90


class Media:
    """What ffprobe tells of a file: presentation times of its pictures in seconds from the first, start label."""

    def __init__(self, path):
        self.path = path
        shown = _probe(path, "packet=stream_index,pts,duration,flags:stream=index,codec_type,time_base,start_pts,"
                             "duration_ts,r_frame_rate,avg_frame_rate:stream_tags=timecode:format_tags=timecode")
        streams = shown.get("streams", [])
        self.video = next((one for one in streams if one["codec_type"] == "video"), None)
        places = [one for one in streams if _timecode(one)]
        self.label = _timecode(places[0] if places else shown.get("format", {}))
        # A timecode track has its own rate; a tag on the picture counts in the picture's.
        track = next((one for one in places if one["codec_type"] == "data"), None)
        counted_in = track["avg_frame_rate"] if track else self.video["r_frame_rate"] if self.video else None
        self.label_rate = Fraction(counted_in) if counted_in else None
        packets = sorted((one["pts"], one.get("duration", 0)) for one in shown.get("packets", [])
                         if self.video and one["stream_index"] == self.video["index"] and
                         "pts" in one and "D" not in one.get("flags", ""))
        self.ticks = [pts for pts, _ in packets]
        self.end_tick = self._end_tick(packets[-1][1]) if packets else 0

    def pts(self):
        base = Fraction(self.video["time_base"])
        return [(tick - self.ticks[0]) * base for tick in self.ticks]

    def end_s(self):
        """When the last picture has been up for its time."""
        return (self.end_tick - self.ticks[0]) * Fraction(self.video["time_base"])

    def _end_tick(self, last_ticks):
        """By the last picture's own duration, or where the track is said to end, or as long as pictures are on average."""
        if last_ticks:
            return self.ticks[-1] + last_ticks
        if "duration_ts" in self.video:
            return self.video["start_pts"] + self.video["duration_ts"]
        return self.ticks[-1] + Fraction(self.ticks[-1] - self.ticks[0], max(1, len(self.ticks) - 1))

    def first_frame(self, list_rate):
        """The start label as an exact, perhaps broken, count at the list's rate: by the frame count of the real label."""
        if not self.label or not self.label_rate:
            return 0
        return clock.label_s(self.label, self.label_rate) * Fraction(list_rate)

    def picture(self, second):
        ticks = self.ticks[0] + math.floor(second / Fraction(self.video["time_base"]))
        return max(0, bisect.bisect_right(self.ticks, ticks) - 1)

    def pictures(self, wanted):
        """(picture index, its small grey copy) for each wanted index, in order, from one decode."""
        command = ["ffmpeg", "-nostdin", "-v", "error", "-threads", "1", "-i", self.path, "-map", "0:v:0",
                   "-frames:v", str(max(wanted) + 1), "-vsync", "passthrough",
                   "-vf", f"scale={WIDTH}:{HEIGHT}:flags=area,format=gray", "-f", "rawvideo", "-"]
        left = set(wanted)
        with subprocess.Popen(command, stdout=subprocess.PIPE, bufsize=1 << 20) as decoder:
            for index in range(max(wanted) + 1):
                picture = decoder.stdout.read(WIDTH * HEIGHT)
                if len(picture) < WIDTH * HEIGHT:
                    break
                if index in left:
                    left.remove(index)
                    yield index, picture
        if decoder.returncode or left:
            raise RuntimeError(f"{self.path}: pictures {sorted(left)[:5]} were not decoded")

    def hashes(self, wanted):
        return {index: hashlib.md5(picture).hexdigest() for index, picture in self.pictures(wanted)}


class Footage:
    """Files of a folder tree by their name alone, as an EDL knows them."""

    def __init__(self, folder, name_in_edl=lambda name: name):
        self._paths, self._media = {}, {}
        for place, _, names in sorted(os.walk(folder)):
            for name in names:
                self._paths.setdefault(name_in_edl(name), []).append(os.path.join(place, name))

    def file(self, clip):
        paths = self._paths.get(clip, [])
        if len(paths) != 1:
            raise LookupError(f"{clip}: {len(paths)} files of that name, expected one")
        if clip not in self._media:
            self._media[clip] = Media(paths[0])
        return self._media[clip]

    def opened(self):
        """Media asked of so far, by real path."""
        return {os.path.realpath(media.path): media for media in self._media.values()}


def _timecode(one):
    """Matroska spells the tag in capitals."""
    return next((value for key, value in one.get("tags", {}).items() if key.lower() == "timecode"), None)


def _probe(path, entries, *more):
    done = subprocess.run(["ffprobe", "-v", "error", *more, "-show_entries", entries, "-of", "json", path],
                          capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def shown_by_edl(list_paths, rate, footage, from_start=False):
    """[(path, second of the file) or None for black], a record frame each."""
    shown = []
    day = clock.day_frames(rate, edl_reader.drop_frame(list_paths[0]))
    for event in edl_reader.read_parts(list_paths, rate, from_start):
        if event.channel != "V":
            continue
        if event.black:
            shown += [None] * event.record_length
            continue
        media = footage.file(event.clip)
        # A clip that runs over midnight counts on from zero.
        source_in = (event.source_in - media.first_frame(rate)) % day
        shown += [(media.path, (source_in + (k + HALF) * event.speed) / rate) for k in range(event.record_length)]
    return shown


def shown_by_otio(path):
    cut = otio_reader.read(path)
    shown = [None] * cut.length
    for item in cut.items:
        if item.kind != "Video":
            continue
        for k in range(item.record_out - item.record_in):
            second = (item.source_in + (k + HALF) * item.speed) / cut.rate - item.origin_s
            shown[item.record_in + k] = (item.file, second)
    return shown


def render(*cuts, opened=()):
    """For each cut a list with a hash a record frame. Clips that several cuts use are still decoded once."""
    media = dict(opened)
    for path in {os.path.realpath(spot[0]) for cut in cuts for spot in cut if spot} - set(media):
        media[path] = Media(path)
    pictures = [[spot and (os.path.realpath(spot[0]), media[os.path.realpath(spot[0])].picture(spot[1]))
                 for spot in cut] for cut in cuts]
    wanted = {}
    for spot in (spot for cut in pictures for spot in cut if spot):
        wanted.setdefault(spot[0], set()).add(spot[1])
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        hashes = dict(zip(wanted, pool.map(lambda path: media[path].hashes(wanted[path]), wanted)))
    return [[hashes[spot[0]][spot[1]] if spot else "black" for spot in cut] for cut in pictures]


def differing_frames(a, b):
    """Record frames whose pictures differ; a missing frame counts as one."""
    return [k for k in range(max(len(a), len(b))) if k >= len(a) or k >= len(b) or a[k] != b[k]]


def main(words):
    if words[0] == "otio":
        print("\n".join(render(shown_by_otio(words[1]))[0]))
        return 0
    rate, footage = Fraction(words[1]), Footage(words[2])
    if words[0] == "edl":
        print("\n".join(render(shown_by_edl(words[3:], rate, footage))[0]))
        return 0
    import cut_compare
    otio, lists = words[3], words[4:]
    found = cut_compare.compare(lists, otio, rate, lambda clip: footage.file(clip).first_frame(rate))
    if found:
        print("\n".join(found[:20]))
        return 1
    by_edl, by_otio = render(shown_by_edl(lists, rate, footage), shown_by_otio(otio), opened=footage.opened())
    differ = differing_frames(by_edl, by_otio)
    print(f"{len(by_edl)} record frames, {len(set(by_edl))} pictures, {len(differ)} differ {differ[:20]}")
    return 1 if differ or not by_edl else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
