# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The scorer that judges our beats must itself be right, and must notice the errors we fear.

Source of the values: mir_eval's own output for 41 beats from 5.0 to 25.0 s at 120 BPM (measures as defined by
Davies, Degara and Plumbley, QMUL technical report C4DM-TR-09-06, 2009), and its published fixtures 00 to 02.
The Cemgil and F values marked 'by hand' also follow from the definitions: exp(-d^2 / 0.0032), 2PR / (P + R).
"""
import math

import numpy as np
from mir_eval import beat, onset

from run_tool import Checks

REFERENCE = np.arange(41) * 0.5 + 5.0
EVERY_TENTH_MISSING = np.array([t for i, t in enumerate(REFERENCE) if i % 10 != 9])
# name, estimate, F at 70 ms, Cemgil, P-score, CMLt, AMLt
TABLE = [
    ("identical", REFERENCE, 1, 1, 1, 1, 1),
    ("20 ms late", REFERENCE + 0.020, 1, 0.882497, 1, 1, 1),
    ("40 ms late", REFERENCE + 0.040, 1, 0.606531, 1, 1, 1),
    ("50 ms late", REFERENCE + 0.050, 1, 0.457833, 1, 1, 1),
    ("70.1 ms late", REFERENCE + 0.0701, 0, 0.215320, 1, 1, 1),
    ("100 ms late", REFERENCE + 0.100, 0, 0.043937, 0.536585, 0, 0),
    ("off-beat", REFERENCE + 0.250, 0, 0, 0, 0, 0.975610),
    ("every second beat", REFERENCE[::2], 0.677419, 0.677419, 0.512195, 0, 1),
    ("double tempo", np.arange(81) * 0.25 + 5.0, 0.672131, 0.672131, 0.506173, 0, 1),
    ("every tenth missing", EVERY_TENTH_MISSING, 0.948718, 0.948718, 0.902439, 0.804878, 0.804878),
    ("128 BPM", np.arange(43) * 60 / 128 + 5.0, 0.309524, 0.202886, 0.418605, 0.302326, 0.348837),
]


def main():
    checks = Checks()
    for name, estimate, f, cemgil, p_score, cml, aml in TABLE:
        found = (beat.f_measure(REFERENCE, estimate), beat.cemgil(REFERENCE, estimate)[0],
                 beat.p_score(REFERENCE, estimate), beat.continuity(REFERENCE, estimate)[1],
                 beat.continuity(REFERENCE, estimate)[3])
        for measure, got, wanted in zip(("F", "Cemgil", "P-score", "CMLt", "AMLt"), found, (f, cemgil, p_score, cml, aml)):
            checks.that(abs(got - wanted) < 2e-6, f"{name}: {measure} is {got:.6f}, expected {wanted}")
    checks.that(abs(math.exp(-0.04 ** 2 / 0.0032) - 0.606531) < 1e-6, "Cemgil of 40 ms by hand")
    checks.that(abs(2 * (21 / 41) / (1 + 21 / 41) - 0.677419) < 1e-6, "F of every second beat by hand")

    small = beat.f_measure(np.array([1.0, 2, 3, 4]), np.array([1.0, 2.05, 3.08, 5.0]))
    checks.that(small == 0.5, f"four beats, two hits: F is {small}, expected 0.5")
    six = np.array([6.0, 7, 8, 9, 10]), np.array([6.03, 7.10, 8.0, 8.93, 11.0])
    checks.that(abs(beat.f_measure(*six) - 0.6) < 1e-9, "small set: F 0.6")
    checks.that(abs(beat.cemgil(*six)[0] - 0.403008) < 1e-6, "small set: Cemgil 0.403008")
    checks.that(abs(beat.p_score(*six) - 0.8) < 1e-9, "small set: P-score 0.8")
    checks.that(abs(beat.continuity(*six)[1] - 0.8) < 1e-9, "small set: CMLt 0.8")
    window = onset.f_measure(np.array([1.0]), np.array([1.0499]))[0]
    checks.that(window == 1, "the onset window is 50 ms")
    raise SystemExit(checks.finish())


if __name__ == "__main__":
    main()
