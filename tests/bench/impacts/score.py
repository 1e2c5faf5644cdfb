# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Contacts found against contacts that are true, paired by mir_eval."""
import numpy as np
from mir_eval import util

WINDOWS_S = (0.050, 0.020, 0.010)


class Score:
    """Summed over files."""

    def __init__(self):
        self.hits = [0] * len(WINDOWS_S)
        self.found = self.truth = 0
        self.errors_s = []
        self.by_kind = {}  # of the true ones: [hit, all]

    def add(self, found, truth, kinds=()):
        """Instants in seconds; kinds of the true ones, or none."""
        found, truth = np.array(found, float), np.array(truth, float)
        pairs = [util.match_events(truth, found, window) for window in WINDOWS_S]
        for index, paired in enumerate(pairs):
            self.hits[index] += len(paired)
        self.found += len(found)
        self.truth += len(truth)
        self.errors_s += [found[f] - truth[t] for t, f in pairs[0]]
        hit = {t for t, _ in pairs[0]}
        for index, kind in enumerate(kinds):
            share = self.by_kind.setdefault(kind, [0, 0])
            share[0] += index in hit
            share[1] += 1

    def f(self, index):
        return 2 * self.hits[index] / (self.found + self.truth) if self.found + self.truth else 1.0

    def bias_ms(self):
        return 1e3 * float(np.median(self.errors_s)) if self.errors_s else 0.0
