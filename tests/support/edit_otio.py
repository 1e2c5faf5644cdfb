# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Edits an OTIO as a person in an editor would: on the first picture track, by the index of a child."""
import copy
import json


class Edit:
    def __init__(self, path):
        with open(path, encoding="utf-8") as file:
            self.root = json.load(file)

    @property
    def tracks(self):
        return self.root["tracks"]["children"]

    @property
    def picture(self):
        return next(track for track in self.tracks if track["kind"] == "Video")["children"]

    @staticmethod
    def frames(item):
        return int(item["source_range"]["duration"]["value"])

    def begins(self, index):
        return sum(self.frames(item) for item in self.picture[:index])

    @staticmethod
    def shot(item):
        return item["metadata"].get("downball", {}).get("shot", "")

    def gap(self, frames):
        gap = copy.deepcopy(self.picture[0])
        gap = {"OTIO_SCHEMA": "Gap.1", "name": "", "metadata": {}, "effects": [], "markers": [], "enabled": True,
               "source_range": gap["source_range"]}
        gap["source_range"]["start_time"]["value"] = 0
        gap["source_range"]["duration"]["value"] = frames
        return gap

    def lift(self, first, last=None):
        """Takes out children first..last and leaves a hole."""
        last = first if last is None else last
        hole = sum(self.frames(item) for item in self.picture[first:last + 1])
        self.picture[first:last + 1] = [self.gap(hole)]

    def extract(self, index):
        """Takes one out; what follows moves up, and the track ends sooner."""
        gone = self.picture.pop(index)
        self.picture.append(self.gap(self.frames(gone)))

    def roll(self, index, frames):
        """Moves the cut between index and index + 1."""
        before, after = self.picture[index], self.picture[index + 1]
        before["source_range"]["duration"]["value"] += frames
        after["source_range"]["duration"]["value"] -= frames
        after["source_range"]["start_time"]["value"] += frames

    def slip(self, index, frames):
        self.picture[index]["source_range"]["start_time"]["value"] += frames

    def swap(self, a, b):
        self.picture[a], self.picture[b] = self.picture[b], self.picture[a]

    def forget(self):
        """Drops what a program that knows nothing of us may drop."""
        for track in self.tracks:
            for item in track["children"]:
                item["markers"] = []
                item["metadata"] = {}
                for reference in item.get("media_references", {}).values():
                    reference["metadata"] = {}
        self.root["metadata"] = {}

    def save(self, path):
        with open(path, "w", encoding="utf-8") as file:
            json.dump(self.root, file, indent=1)
