# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Part `solve`: the solver on generated jobs of growing size; solve_bench tells what the sizes are."""
import measured

SIZES = ("small", "medium", "large")
SEEDS = 3


def trials(said):
    """Lines of solve_bench: size, seed, takes, contacts, beats, shots, wall s, cpu s, ..."""
    found = []
    for line in said.splitlines():
        words = line.split()
        if len(words) >= 8 and words[0] in SIZES and words[1].isdigit():
            found.append((int(words[2]), measured.Cost(float(words[6]), float(words[7]), 0)))
    return found


def measure(bench):
    before = None
    for size in SIZES:
        run = measured.run([bench.program("solve_bench"), size, "--seeds", SEEDS, "--no-greedy"])
        found = trials(run.said)
        takes, cost = found[0][0], measured.median([cost for _, cost in found])
        cost.peak_mb = run.peak_mb
        bench.table.row(f"solve, {size}: {takes} takes, median of {SEEDS} jobs", cost, floor=before and before[1],
                        of=before and f"{before[0]} takes; {takes / before[0]:.1f} = linear")
        before = (takes, cost)
