# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""What fit_bars.py and fit_readings.py share: the tracks, a softmax over rival answers, the header that is written."""
import argparse
import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize

HERE = os.path.dirname(os.path.abspath(__file__))
TOP = os.path.join(HERE, "..", "..", "..")
sys.path.append(os.path.join(TOP, "tests", "support"))

import corpus  # noqa: E402
import wide  # noqa: E402

SETS = ("development", "wide", "plain")
FOLDS = 5


def arguments(about, header):
    parser = argparse.ArgumentParser(description=about)
    parser.add_argument("--build", required=True, help="build folder with bench/beats_evidence")
    parser.add_argument("--media", required=True, help="the bench's media; what is missing there is rendered")
    parser.add_argument("--game", help="default: freedoom/usr/share/games/doom beside the media")
    parser.add_argument("--to", default=os.path.join(TOP, "src", "beats", header), help="the header to write")
    args = parser.parse_args()
    args.game = args.game or os.path.join(args.media, "..", "freedoom", "usr", "share", "games", "doom")
    return args


def tracks(args, pool):
    """(set, track) of all tracks that may be fitted to, rendered. The half set aside takes no part."""
    folder = os.path.join(args.media, "wide")
    os.makedirs(folder, exist_ok=True)
    delay_s, delays_s = corpus.font_delay_s(args.media), wide.delays_s(folder)
    own = [t for t in corpus.tracks(args.game) if not t.held]
    more = wide.tracks(args.game)
    list(pool.map(lambda t: corpus.make(t, args.media, delay_s), own))
    list(pool.map(lambda t: wide.make(t, folder, delays_s), more))
    return [("development", t) for t in own] + [("plain" if t.family == "plain" else "wide", t) for t in more]


def truth_path(track):
    return track.wav[:-len(".wav")] + ".beats"


def ask(args, mode, *files):
    """What beats_evidence prints in this mode."""
    command = [os.path.join(args.build, "bench", "beats_evidence"), mode, *files]
    return json.loads(subprocess.run(command, stdout=subprocess.PIPE, text=True, check=True).stdout)


def examples_of(args, make):
    """`make(set, track)` of all tracks, those left out for which it is None."""
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        return [e for e in pool.map(lambda pair: make(*pair), tracks(args, pool)) if e is not None]


@dataclass
class Choice:
    """Rival answers to one question: what speaks for each, and how good each is, 0..1."""
    cues: np.ndarray  # answers x cues
    utility: np.ndarray
    known: np.ndarray | float = 0.0  # log-odds not fitted
    weight: float = 1.0


def fit(choices, penalty, sharpness, steps):
    """Weights of the cues, such that the softmax over the answers is nearest, by cross-entropy, to a softmax over their
    utilities: good answers share what is to be had, and near misses get some of it."""
    wanted = []
    for c in choices:
        u = np.exp(sharpness * (c.utility - c.utility.max()))
        wanted.append(u / u.sum())

    def loss(w):
        value, slope = 0.0, np.zeros(len(w))
        for c, u in zip(choices, wanted):
            score = c.cues @ w + c.known
            score = score - score.max()
            p = np.exp(score)
            total = p.sum()
            value -= c.weight * (u * (score - np.log(total))).sum()
            slope -= c.weight * (c.cues.T @ (u - p / total))
        return value + penalty * (w @ w), slope + 2 * penalty * w

    start = np.zeros(choices[0].cues.shape[1])
    return minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": steps}).x


def chosen(choice, weights):
    """Index of the answer the weights choose."""
    return int(np.argmax(choice.cues @ weights + choice.known))


def folds(count, seed):
    """(to fit to, to try) by index, each track tried once."""
    order = np.random.RandomState(seed).permutation(count)
    for f in range(FOLDS):
        tried = order[f::FOLDS]
        yield [i for i in order if i not in set(tried)], tried


def by_set(names, values):
    """One line: the mean of each set and of all."""
    names, values = np.array(names), np.array(values)
    parts = [f"{s} {values[names == s].mean():.3f}" for s in SETS if (names == s).any()]
    return "  ".join(parts + [f"all {values.mean():.3f}"])


HEAD = """// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

"""


def row(values, digits):
    return "{" + ", ".join(f"{v:.{digits}f}" for v in values) + "}"


def write_header(path, text):
    """As the house lays it out."""
    style = "--assume-filename=" + os.path.join(TOP, "src", "beats", "weights.h")
    try:
        done = subprocess.run(["clang-format-14", style], input=HEAD + text, stdout=subprocess.PIPE, text=True, check=True)
    except FileNotFoundError:
        raise SystemExit("clang-format-14 is missing: install Debian's package of that name") from None
    with open(path, "w") as file:
        file.write(done.stdout)
    print(f"{path} written")
