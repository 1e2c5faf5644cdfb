# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""`coverage`: what the log of a small day shows, in all forms, and what it is told wrongly."""
import csv
import html.parser
import io
import json
import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import jsonschema  # noqa: E402

import small_day  # noqa: E402
from spoilt_jobs import change_job, change_row, run  # noqa: E402

SCHEMA = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "schemas", "coverage.schema.json")


def by_hand(folder):
    """Takes and seconds by player and skill, counted from log.csv alone; every clip lasts three seconds."""
    _, rows = small_day.read_log(os.path.join(folder, "log.csv"))
    counted = {}
    for row in rows:
        if row["kind"] == "action" and row["use"] != "never":
            for player in row["players"].split():
                for skill in row["skills"].split():
                    counted[player, skill] = counted.get((player, skill), 0) + 1
    return counted


def forms(bench):
    that, folder = bench.checks.that, bench.copy()
    change_row(folder, "K_02.mp4", use="never")
    change_row(folder, "K_07.mp4", note="<palms> & =1+1")
    wanted = by_hand(folder)

    told = json.loads(bench.tool.must("coverage", ".", "--format", "json", "--score", "4-2", cwd=folder).stdout)
    with open(SCHEMA, encoding="utf-8") as file:
        problems = list(jsonschema.Draft7Validator(json.load(file)).iter_errors(told))
    that(not problems, f"the JSON fits its schema: {problems[:2]}")
    cells = {(cell["player"], cell["skill"]): cell for cell in told["grids"][0]["cells"]}
    that({key: cell["takes"] for key, cell in cells.items() if cell["takes"]} == wanted,
         f"players in skills as counted by hand: {wanted}")
    that(all(abs(cell["take_s"] - 3 * cell["takes"]) < 0.1 for cell in cells.values()), "three seconds a take")
    with open(os.path.join(folder, "out", "reel.report.json"), encoding="utf-8") as file:
        shots = [shot for shot in json.load(file)["shots"] if not shot["file"].endswith("K_02.mp4")]
    that(told["all"]["shots"] == len(shots), f"{told['all']['shots']} shots of takes that may be used, the report has {len(shots)}")
    that(told["next_change"]["in_points"] == 1 and told["next_change"]["at_sum"] == 7, "4-2: ends change at the next point")

    rows = list(csv.DictReader(io.StringIO(bench.tool.must("coverage", ".", "--format", "csv", cwd=folder).stdout)))
    that({(row["row"], row["column"]): int(row["takes"]) for row in rows
          if row["table"] == told["grids"][0]["name"] and row["takes"] != "0"} == wanted, "the same as CSV")

    text = bench.tool.must("coverage", ".", cwd=folder).stdout
    that("Missing" in text and "serve" in text, f"the text tells what is missing:\n{text}")

    page = bench.tool.must("coverage", ".", "--format", "html", "--score", "12-9", cwd=folder).stdout
    reader = Page()
    reader.feed(page)
    that("<palms> & =1+1" in reader.text and not reader.foreign, f"the page shows tags of the user's as text: {reader.foreign}")
    that("change of ends in 7 points" in reader.text, "the page tells the next change of ends")


def missing_clips(bench):
    that, folder = bench.checks.that, bench.copy()
    count = ["coverage", ".", "--format", "json"]
    whole = json.loads(bench.tool.must(*count, cwd=folder).stdout)
    change_row(folder, "K_03.mp4", out="50f")
    os.remove(os.path.join(folder, "footage", "K_03.mp4"))
    os.remove(os.path.join(folder, "footage", "K_04.mp4"))
    run = bench.tool.must(*count, cwd=folder)
    told = json.loads(run.stdout)
    that(told["all"]["takes"] == whole["all"]["takes"], "rows of clips that are gone are counted all the same")
    that(abs(told["all"]["take_s"] - whole["all"]["take_s"]) < 0.1, "and last as long as logged")
    that("K_03.mp4" in run.stderr and "counted by what the log tells" in run.stderr, f"they are named: {run.stderr}")
    path = os.path.join(folder, "log.csv")
    header, rows = small_day.read_log(path)
    for row in rows:
        row["duration_s"] = ""
    small_day.write_log(path, header, rows)
    run = bench.tool.must(*count, cwd=folder)
    that(json.loads(run.stdout)["all"]["takes"] == whole["all"]["takes"] - 2, "without a length in the log they are not")
    that("not counted" in run.stderr, f"which is told: {run.stderr}")


def match_of_job(bench):
    that, folder = bench.checks.that, bench.copy()
    teams = {"ana": "Dune", "bea": "Tide", "cleo": "Dune", "dora": "Tide"}
    change_job(folder, lambda it: it.update(roster={"players": teams}, match={
        "teams": ["Dune", "Tide"], "sets": [{"left": "Dune", "serve": ["ana", "bea", "cleo", "dora"]}]}))
    for clip, score in {"K_01.mp4": "0-0", "K_02.mp4": "0-1", "K_03.mp4": "1-1", "K_04.mp4": "4-3"}.items():
        change_row(folder, clip, set="1", score=score)
    change_row(folder, "K_03.mp4", skills="serve pass", players="ana")
    run = bench.tool.must("coverage", ".", "--format", "json", "--score", "12-6", cwd=folder)
    told = json.loads(run.stdout)
    that([(it["a"], it["b"], it["left"], it["server"]) for it in told["rallies"]] ==
         [(0, 0, "Dune", "ana"), (0, 1, "Dune", "bea"), (1, 1, "Dune", "cleo"), (4, 3, "Tide", "")],
         f"ends and servers as the rules have them: {told['rallies']}")
    that("a serve with ana at 1-1 in set 1, where by the scores cleo of Dune serves" in run.stderr,
         f"a serve out of turn is told: {run.stderr}")
    that(told["next_change"]["time_out_in_points"] == 3 and told["next_change"]["left"] == "Dune", "time-out and ends of the score asked")
    change_job(folder, lambda it: it["match"].update(technical_time_out=False))
    run = bench.tool.must("coverage", ".", "--score", "12-6", cwd=folder)
    that("technical" not in run.stdout and "rallies by score" in run.stdout, f"none where none is held:\n{run.stdout}")
    that(all(len(line) <= 100 for line in run.stdout.splitlines()), f"lines of at most 100 columns:\n{run.stdout}")


class Page(html.parser.HTMLParser):
    KNOWN = set("html head meta title style body main h1 h2 p strong div section table caption thead tbody tr th td span ul li".split())

    def __init__(self):
        super().__init__()
        self.text, self.foreign = "", []

    def handle_starttag(self, tag, attrs):
        if tag not in self.KNOWN or any(name in ("src", "href", "onload") for name, _ in attrs):
            self.foreign.append(tag)

    def handle_data(self, data):
        self.text += data


def refused(bench):
    folder = bench.copy()
    for case, words in {"no numbers": ["--score", "twelve"], "a score that cannot be": ["--score", "24-21"],
                        "no such set": ["--score", "1-1", "--set", "4"], "no such form": ["--format", "pdf"]}.items():
        bench.refused(case, 2, ["coverage", ".", *words], "expected|but set|not in", folder, advice=False)
    change_job(folder, lambda it: it.update(log="none.csv"))
    bench.refused("no log", 3, ["coverage", "."], "none.csv", folder)


if __name__ == "__main__":
    run((forms, missing_clips, match_of_job, refused), "coverage")
