# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The one table: a line a stage as soon as it is measured; at the end what missed its target, and Markdown."""

HEAD = ("stage", "wall s", "cpu s", "peak MB", "x real time", "wall ratio", "cpu ratio", "floor", "target")


def figure(value):
    """Three digits that tell something, or a dash."""
    if value is None:
        return "-"
    return f"{value:.0f}" if value >= 100 else f"{value:.1f}" if value >= 10 else f"{value:.2f}" if value >= 1 else f"{value:.3g}"


class Table:
    def __init__(self):
        self.rows = []
        self.misses = []

    def part(self, name):
        if not self.rows:
            self._print(HEAD)
        self.rows.append((name,))
        print(f"-- {name}", flush=True)

    def row(self, stage, cost, *, material_s=None, floor=None, of=None, target=None, met=None):
        """`cost` beside `floor`, a Cost that `of` describes; `target` in words, and whether it is `met`."""
        over = lambda mine, its: mine / its if mine and its else None  # noqa: E731
        cells = (stage, figure(cost.wall_s), figure(cost.cpu_s or None), figure(cost.peak_mb or None),
                 figure(material_s / cost.wall_s if material_s and cost.wall_s else None),
                 figure(over(cost.wall_s, floor.wall_s) if floor else None),
                 figure(over(cost.cpu_s, floor.cpu_s) if floor else None), of or "-",
                 "-" if target is None else f"{target}: {'met' if met else 'MISSED'}")
        self.rows.append(cells)
        self._print(cells)
        if target is not None and not met:
            self.misses.append(f"{stage}: {target}; wall {cells[1]} s, cpu {cells[2]} s, ratios {cells[5]} and {cells[6]}")

    @staticmethod
    def _print(cells):
        print(f"{cells[0]:46}" + "".join(f"{cell:>12}" for cell in cells[1:7]) + f"  {cells[7]:44} {cells[8]}", flush=True)

    def end(self):
        print("\nMISSED" if self.misses else "\nall targets met")
        for miss in self.misses:
            print("  " + miss)

    def markdown(self, machine):
        lines = [machine, "", "| " + " | ".join(HEAD) + " |", "|---|" + "---:|" * 6 + "---|---|"]
        lines += ["| " + " | ".join(cells if len(cells) > 1 else (f"**{cells[0]}**", *[""] * 8)) + " |" for cells in self.rows]
        return "\n".join(lines) + "\n"
