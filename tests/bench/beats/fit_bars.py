# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Fits src/beats/bar_weights.h: how many beats a bar has and which is the first, on the true beats of the tracks."""
import sys

import numpy as np

import fit_common
from fit_common import Choice

METRES = (2, 3, 4)
APART = (1, 2, 3, 4, 6, 8)
CUES = 6  # low, mid, presence, high, harmony, step
STRUCK = (0, 1, 2, 3, 5)  # of BeatSteps::Kind: the first five cues
LOUDNESS, BASS = 6, 7
THIRDS = (0.8, 1, 0.8, 0.2)  # as in thirds_of, src/beats/bars.cpp
TWELFTHS, KINDS = 12, 8
PENALTY = 0.3  # of squared weights; cross-validated, 0.1 and 1 are within 0.005 of it
SHARPNESS = 8.0  # a count whose F is 0.1 lower is wanted less than half as much
STEPS = 60
# Each song is also fitted to with its first one to six beats cut off: not all music begins on a downbeat.
CROPPED_WEIGHT, CROPPED_LEAST, CROP_SEED = 0.3, 30, 5
FEWEST_BEATS = 16
SEED = 0

# Where the weights of each kind begin: places of the bar by metre, then one entry a metre, likenesses, ...
PLACES = CUES * sum(METRES)
METRE, LIKENESS = PLACES, PLACES + len(METRES)
BEGINS = LIKENESS + len(METRES) * len(APART)
DIVIDED, OCTAVES = BEGINS + len(METRES), BEGINS + 2 * len(METRES)
COUNT = OCTAVES + len(METRES)


def example(args, name, track):
    """Set, steps (beats x twelfths x kinds), positions in the bar, beats a minute; None where bars are not known."""
    if track.downbeats is None:
        return None
    path = fit_common.truth_path(track)
    got = fit_common.ask(args, "steps", track.wav, path)
    beats, position = np.loadtxt(path, unpack=True)
    if got["beats"] < FEWEST_BEATS:
        return None
    steps = np.array(got["steps"]).reshape(got["beats"], TWELFTHS, KINDS)
    return name, steps, position[:got["beats"]].astype(int), 60 / np.median(np.diff(beats))


def standardised(x):
    spread = x.std()
    return np.clip((x - x.mean()) / spread, -3, 3) if spread > 1e-4 else x * 0


def step_of(level, width=4):
    """How far the mean of the `width` values from here on is from that of those before."""
    out, sums = np.zeros(len(level)), np.concatenate([[0], np.cumsum(level)])
    for i in range(width, len(level) - width + 1):
        out[i] = abs((sums[i + width] - sums[i]) - (sums[i] - sums[i - width])) / width
    return out


def beat_cues(steps):
    """CUES x beats, as bar_cues of src/beats/bars.cpp."""
    change = step_of(steps[:, :, LOUDNESS].mean(1)) + 0.5 * step_of(steps[:, :, BASS].mean(1))
    return np.array([standardised(steps[:, 0, k]) for k in STRUCK] + [standardised(change)])


def likeness(steps):
    inside = steps[:, :, :4].reshape(len(steps), -1)
    inside = inside - inside.mean(0)
    power = (inside * inside).sum() / len(inside) + 1e-9
    return [(inside[:-m] * inside[m:]).sum() / (power * (len(inside) - m)) for m in APART]


def thirds(steps):
    struck = steps[:, :, :4].mean(0) @ np.array(THIRDS)
    third, half = struck[4] + struck[8], 2 * struck[6]
    return (third - half) / (third + half + 1e-9)


def choice(example, dropped=0, weight=1.0):
    """All counts of a track that is without its first `dropped` beats."""
    _, steps, position, bpm = example
    steps, position = steps[dropped:], position[dropped:]
    cues, alike, divided, octaves = beat_cues(steps), likeness(steps), thirds(steps), np.log2(bpm / 120)
    n, rows, utility = len(steps), [], []
    for m, metre in enumerate(METRES):
        for downbeat in range(metre):
            row = np.zeros(COUNT)
            for place in range(metre):
                at = (sum(METRES[:m]) + place) * CUES
                row[at:at + CUES] = cues[:, np.arange((downbeat + place) % metre, n, metre)].mean(1)
            row[METRE + m] = 1
            row[LIKENESS + m * len(APART):LIKENESS + (m + 1) * len(APART)] = alike
            row[BEGINS + m] = downbeat == 0
            row[DIVIDED + m], row[OCTAVES + m] = divided, octaves
            counted, true = np.arange(n) % metre == downbeat, position == 1
            rows.append(row)
            utility.append(2 * (counted & true).sum() / (counted.sum() + true.sum()))  # F of the downbeats
    return Choice(np.array(rows), np.array(utility), weight=weight)


def scaled(choices, spread):
    return [Choice(c.cues / spread, c.utility, weight=c.weight) for c in choices]


def cross_validate(sets, whole, cropped):
    tried_sets, f, f_cropped = [], [], []
    for fitted, tried in fit_common.folds(len(whole), SEED):
        weights = train([whole[i] for i in fitted] + [cropped[i] for i in fitted])
        for i in tried:
            tried_sets.append(sets[i])
            f.append(whole[i].utility[fit_common.chosen(whole[i], weights)])
            f_cropped.append(cropped[i].utility[fit_common.chosen(cropped[i], weights)])
    print("cross-validated, means over tracks, one count through the song")
    print(f"  {'F of downbeats':26}{fit_common.by_set(tried_sets, f)}")
    print(f"  {'F, first beats cut off':26}{fit_common.by_set(tried_sets, f_cropped)}")


def train(choices):
    return fit_common.fit(choices, PENALTY, SHARPNESS, STEPS)


def header(w):
    row = lambda begin, count=len(METRES): fit_common.row(w[begin:begin + count], 3)
    places = []
    for m, metre in enumerate(METRES):
        first = sum(METRES[:m])
        places.append("{{" + ", ".join(row((first + p) * CUES, CUES) for p in range(metre)) + "}},\n")
    alike = [row(LIKENESS + m * len(APART), len(APART)) + ",\n" for m in range(len(METRES))]
    per_metre = f"inline constexpr std::array<double, {len(METRES)}> "
    return (
        "// Log-odds weights of a bar's count, fitted to the bench's development tracks (tests/bench/beats/fit_bars.py).\n"
        "namespace downball::beats::bar_weights {\n\n"
        f"using Row = std::array<double, {CUES}>; // low, mid, presence, high, harmony, step\n\n"
        "// By metre (2, 3, 4) and place in the bar, the downbeat first.\n"
        f"inline constexpr std::array<std::array<Row, {max(METRES)}>, {len(METRES)}> place{{{{\n{''.join(places)}}}}};\n\n"
        "// By metre: how like a beat is to the one 1, 2, 3, 4, 6, 8 later.\n"
        f"inline constexpr std::array<std::array<double, {len(APART)}>, {len(METRES)}> likeness{{{{\n{''.join(alike)}}}}};\n\n"
        f"{per_metre}metre{row(METRE)};\n"
        "// Thirds of the beat are struck rather than its half; octaves of the tempo over 120.\n"
        f"{per_metre}thirds{row(DIVIDED)};\n{per_metre}octaves{row(OCTAVES)};\n"
        f"// The music begins on a downbeat.\n{per_metre}begins{row(BEGINS)};\n\n"
        "} // namespace downball::beats::bar_weights\n")


def main():
    args = fit_common.arguments(__doc__, "bar_weights.h")
    examples = fit_common.examples_of(args, lambda name, track: example(args, name, track))
    rng = np.random.RandomState(CROP_SEED)
    whole = [choice(e) for e in examples]
    cropped = [choice(e, rng.randint(1, 7) if len(e[2]) > CROPPED_LEAST else 0, CROPPED_WEIGHT) for e in examples]
    cues = np.concatenate([c.cues for c in whole])
    # Cues of places are alike in spread; the others weigh by their own size.
    spread = np.maximum(np.sqrt((cues * cues).mean(0)) + 1e-6, 0.3)
    spread[:PLACES] = 0.4
    whole, cropped = scaled(whole, spread), scaled(cropped, spread)
    sets = [e[0] for e in examples]
    print(f"{len(examples)} tracks\n  {'the best count, F':26}{fit_common.by_set(sets, [c.utility.max() for c in whole])}")
    cross_validate(sets, whole, cropped)
    weights = train(whole + cropped)
    fit_common.write_header(args.to, header(weights / spread))


if __name__ == "__main__":
    sys.exit(main())
