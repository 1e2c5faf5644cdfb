# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Copies of one small job, each spoilt in one way, and what the built program must do with them."""
import os
import re
import shutil
import sys

import small_day
from run_tool import Checks, Tool, Workplace, hashes

CRASH = re.compile(r"terminate called|Segmentation|core dumped|Assertion|what\(\):|Sanitizer")
# A message must tell what to do, not only what is wrong; these are the words in which it can.
ADVICE = re.compile(r"\b(check|use|give|write|name|choose|make|move|remove|free|set|change|add|correct|did you mean|"
                    r"expected|required|needs?|must|try|close|run|copy|put|start|leave|export|save)\b", re.I)


class Bench:
    """Copies of one good job, each spoilt in one way."""

    def __init__(self, tool, checks, place):
        self.tool, self.checks, self.place = tool, checks, place
        self.good = os.path.join(place, "good")
        self.cases = 0

    def copy(self):
        self.cases += 1
        folder = os.path.join(self.place, f"case{self.cases}")
        shutil.copytree(self.good, folder)
        return folder

    def reachable_program(self):
        """A copy of the program where any user can reach it."""
        os.chmod(self.place, 0o755)
        return shutil.copy(self.tool.path, os.path.join(self.place, "downball"))

    def refused(self, case, code, arguments, says, folder, advice=True, **how):
        """Runs the program, which must refuse with that status and words, and must not touch any file."""
        before = hashes(folder)
        done = self.tool(*arguments, cwd=folder, **how)
        self.judge(case, code, says, done, before, hashes(folder), advice)
        return done

    def judge(self, case, code, says, done, before, after, advice=True):
        that = self.checks.that
        message = done.stderr.strip()
        print(f"-- {case}: exit {done.returncode}\n   " + message.replace("\n", "\n   "))
        that(done.returncode == code, f"{case}: exit {done.returncode}, expected {code}")
        that(not CRASH.search(message), f"{case}: crashed")
        that(message.startswith("downball") or "\n" in message or len(message) > 20, f"{case}: no message to speak of")
        for pattern in [says] if isinstance(says, str) else says:
            that(re.search(pattern, message), f"{case}: the message does not say /{pattern}/")
        if advice:
            that(ADVICE.search(message), f"{case}: the message does not say what to do")
        changed = sorted(name for name in before.keys() | after.keys() if before.get(name) != after.get(name))
        that(not changed, f"{case}: changed or left behind: {', '.join(changed)}")


def spoil_line(path, number, text):
    with open(path, encoding="utf-8", newline="") as file:
        lines = file.read().splitlines(keepends=True)
    lines[number - 1] = text + "\n"
    with open(path, "w", encoding="utf-8", newline="") as file:
        file.writelines(lines)


def change_row(folder, file_name, **cells):
    """Changes cells of the row of that file and gives the row's line."""
    path = os.path.join(folder, "log.csv")
    header, rows = small_day.read_log(path)
    line = next(index for index, row in enumerate(rows) if row["file"].endswith(file_name))
    rows[line].update(cells)
    small_day.write_log(path, header, rows)
    return line + 2


def change_job(folder, change):
    small_day.edit_job(os.path.join(folder, "job.json"), change)


def run(parts, name):
    """The main() of a test made of such parts."""
    tool, checks = Tool(sys.argv[1]), Checks()
    with Workplace(name) as place:
        bench = Bench(tool, checks, place)
        os.mkdir(bench.good)
        small_day.make(tool, bench.good)
        for part in parts:
            part(bench)
    checks.finish()
