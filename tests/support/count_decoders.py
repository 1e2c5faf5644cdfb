# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs the program behind count_decoders.c: which files and decoders it opens, and what it does on a bad disk."""
import os

from run_tool import fail


class Opened:
    """What one run opened. `audio` and `video` are names of decoders, `containers` and `sounds` files."""

    def __init__(self, lines):
        self.lines = lines

    def of(self, what):
        return [line.partition(" ")[2] for line in self.lines if line.startswith(what + " ")]

    @property
    def audio(self):
        return self.of("audio")

    @property
    def video(self):
        return self.of("video")

    @property
    def containers(self):
        return [os.path.basename(url.removeprefix("file:")) for url in self.of("container")]

    @property
    def sounds(self):
        return [os.path.basename(path) for path in self.of("sound")]

    def __str__(self):
        return (f"{len(self.audio)} audio and {len(self.video)} video decoders, {len(self.containers)} containers "
                f"and {len(self.sounds)} sound files opened")


class Counter:
    def __init__(self, tool, build, place):
        self.tool, self.counts = tool, os.path.join(place, "opened.txt")
        self.library = os.path.join(os.path.abspath(build), "tests", "count_decoders.so")
        if not os.path.exists(self.library):
            fail(f"{self.library} is not there; build the target 'count_decoders' first")

    def __call__(self, *arguments, cwd, bad_file=None, bad_from=0):
        """The finished run, and what it opened. A `bad_file` cannot be read from byte `bad_from` on."""
        if os.path.exists(self.counts):
            os.remove(self.counts)
        said = [f"LD_PRELOAD={self.library}", f"DOWNBALL_COUNTS={self.counts}"]
        if bad_file:
            said += [f"DOWNBALL_BAD_FILE={os.path.join(cwd, bad_file)}", f"DOWNBALL_BAD_FROM={bad_from}"]
        done = self.tool(*arguments, cwd=cwd, prefix=("env", *said))
        lines = []
        if os.path.exists(self.counts):
            with open(self.counts, encoding="utf-8", errors="surrogateescape") as file:
                lines = file.read().splitlines()
        return done, Opened(lines)
