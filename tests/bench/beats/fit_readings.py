# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Fits src/beats/reading_weights.h: which of a song's readings is the right one. Run fit_bars.py first and build again:
what is measured of a reading holds how well bars can be counted in it."""
import os
import re
import sys

import numpy as np
from mir_eval import beat

import fit_common
from fit_common import Choice
from score import FIRST_S

PENALTY = 2.0  # of squared weights, cues in units of their spread; cross-validated, 5 did as well and 1 worse
SHARPNESS = 6.0  # a reading whose F is 0.1 lower is wanted half as much
STEPS = 80
RULED_OUT = -4.0  # as in level_of, src/beats/reading.cpp
# Each song is also fitted to as if cut out of a longer one, where its ends say nothing of the beat.
CUT_OUT, CUT_OUT_WEIGHT = ("begins", "ends"), 0.4
PROFILE = (4, 12)
SEEDS = (0, 1)


def kinds():
    """Names of the evidence, in order, from the header that defines it."""
    with open(os.path.join(fit_common.TOP, "src", "beats", "reading.h")) as file:
        body = re.search(r"enum Kind \{(.*?)\}", file.read(), re.S).group(1)
    return re.findall(r"\w+", re.sub(r"//.*", "", body))[:-1]


def example(args, name, track):
    """Set, evidence, share ruled out, F at 70 ms and at 20 ms, of all readings of a track; None where it has none."""
    rows = fit_common.ask(args, "readings", track.wav)
    if not rows:
        return None
    truth = beat.trim_beats(np.loadtxt(fit_common.truth_path(track), usecols=0), FIRST_S)
    f70, f20 = [], []
    for r in rows:
        found = np.array(r["beats"])
        found = found[(found >= FIRST_S) & (found <= track.beats[-1] + 0.07)]
        for scores, window in ((f70, 0.07), (f20, 0.02)):
            scores.append(beat.f_measure(truth, found, window) if len(found) > 1 else 0.0)
    return (name, np.array([r["evidence"] for r in rows]), np.array([r["ruled_out"] for r in rows]), np.array(f70),
            np.array(f20))


def choices(examples, names, mean, spread):
    """As they are, and as if cut out of longer songs."""
    out = []
    for cut_out in (False, True):
        for _, cues, ruled_out, f70, _ in examples:
            cues = cues.copy()
            if cut_out:
                cues[:, [names.index(n) for n in CUT_OUT]] = 0
            out.append(Choice((cues - mean) / spread, f70, RULED_OUT * ruled_out, CUT_OUT_WEIGHT if cut_out else 1.0))
    return out[:len(examples)], out[len(examples):]


def train(choices):
    return fit_common.fit(choices, PENALTY, SHARPNESS, STEPS)


def cross_validate(examples, whole, cut_out):
    sets, f70, f20, cut = [], [], [], []
    for seed in SEEDS:
        for fitted, tried in fit_common.folds(len(examples), seed):
            weights = train([whole[i] for i in fitted] + [cut_out[i] for i in fitted])
            for i in tried:
                best = fit_common.chosen(whole[i], weights)
                sets.append(examples[i][0])
                f70.append(examples[i][3][best])
                f20.append(examples[i][4][best])
                cut.append(examples[i][3][fit_common.chosen(cut_out[i], weights)])
    print("cross-validated, means over tracks")
    for title, values in (("F 70 ms", f70), ("F 20 ms", f20), ("F 70 ms, ends not known", cut)):
        print(f"  {title:26}{fit_common.by_set(sets, values)}")


def header(weights, names):
    profile = weights[len(names):].reshape(PROFILE)
    return (
        "// Log-odds weights of a reading's evidence, fitted to the bench's development tracks by "
        "tests/bench/beats/fit_readings.py.\nnamespace downball::beats::reading_weights {\n\n"
        f"inline constexpr std::array<double, {len(names)}> evidence{{\n"
        + "".join(f"    {w:.4f}, // {n}\n" for n, w in zip(names, weights))
        + "};\n\n// By register and twelfth of the beat.\n"
        f"inline constexpr std::array<std::array<double, {PROFILE[1]}>, {PROFILE[0]}> profile{{{{\n"
        + "".join(f"    {fit_common.row(r, 4)},\n" for r in profile)
        + "}};\n\n} // namespace downball::beats::reading_weights\n")


def main():
    args = fit_common.arguments(__doc__, "reading_weights.h")
    names = kinds()
    examples = fit_common.examples_of(args, lambda name, track: example(args, name, track))
    cues = np.concatenate([e[1] for e in examples])
    if cues.shape[1] != len(names) + PROFILE[0] * PROFILE[1]:
        raise SystemExit("beats_evidence was built from another src/beats/reading.h: build it again")
    print(f"{len(cues)} readings of {len(examples)} tracks")
    mean, spread = cues.mean(0), cues.std(0) + 1e-6
    whole, cut_out = choices(examples, names, mean, spread)
    sets = [e[0] for e in examples]
    print(f"  {'the best reading, F 70 ms':26}{fit_common.by_set(sets, [e[3].max() for e in examples])}")
    cross_validate(examples, whole, cut_out)
    weights = train(whole + cut_out)
    got = [e[3][fit_common.chosen(c, weights)] for e, c in zip(examples, whole)]
    print(f"fitted to all\n  {'F 70 ms':26}{fit_common.by_set(sets, got)}")
    fit_common.write_header(args.to, header(weights / spread, names))


if __name__ == "__main__":
    sys.exit(main())
