# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The clips of the sample, through their own containers, beside the bench's generated ones.

    sample.py --build BUILD --sample FOLDER --figures FILE

FOLDER holds truth.json as downball_sample makes it; FILE is what impacts_bench --figures wrote.
"""
import argparse
import csv
import json
import os
import sys
from concurrent.futures import ThreadPoolExecutor

import run_tool
from containers import seconds_of
from score import Score

JOINED_S = 0.08
SKILLS = ("serve", "pass", "set", "attack", "block", "dig")


def listen(tool, folder, clips):
    """Of the clips that have sound; those in slow motion have none."""
    def one(item):
        name, clip = item
        done = tool("impacts", "--quiet", os.path.join(folder, name))
        if done.returncode == 3 and "has no sound" in done.stderr:
            return clip, None
        if done.returncode != 0:
            run_tool.fail(done.stderr)
        return clip, seconds_of(done.stdout)

    with ThreadPoolExecutor(2) as pool:
        return [(clip, found) for clip, found in pool.map(one, clips.items()) if found is not None]


def audible(contacts):
    """Those with a sound of their own: a block that meets its attack within 80 ms has none."""
    kept = []
    for contact in contacts:
        if contact["sound_s"] is None or (contact["skill"] == "block" and kept
                                          and contact["sound_s"] - kept[-1]["sound_s"] < JOINED_S):
            continue
        kept.append(contact)
    return kept


def judge(heard_clips):
    """The score, false alarms at a ball on sand, seconds."""
    score, on_sand, seconds = Score(), 0, 0.0
    for clip, found in heard_clips:
        contacts = audible(clip["contacts"])
        truth = [c["sound_s"] for c in contacts]
        score.add(found, truth, [c["skill"] for c in contacts])
        wrong = [f for f in found if all(abs(f - t) > 0.05 for t in truth)]
        on_sand += sum(any(abs(f - s) < 0.05 for s in clip["ball_on_sand_s"]) for f in wrong)
        seconds += clip["frames"] / int(clip["rate"])
    return score, on_sand, seconds


def row(name, f50, f20, f10, recalls):
    print(f"  {name:18} {f50:.3f}  {f20:.3f}  {f10:.3f}   " + "  ".join("  -   " if r is None else f"{r:6.3f}" for r in recalls))


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--build", required=True)
    parser.add_argument("--sample", required=True)
    parser.add_argument("--figures", required=True)
    args = parser.parse_args()
    with open(os.path.join(args.sample, "truth.json"), encoding="utf-8") as file:
        clips = json.load(file)["clips"]
    with open(args.figures, newline="", encoding="utf-8") as file:
        figures = {(r["material"], r["split"]): r for r in csv.DictReader(file, delimiter="\t")}
    clips_heard = listen(run_tool.Tool(args.build), args.sample, clips)
    score, on_sand, seconds = judge(clips_heard)
    share = lambda skill: score.by_kind[skill][0] / score.by_kind[skill][1] if skill in score.by_kind else None

    print(f"  {len(clips_heard)} clips of {seconds / 60:.1f} min, {score.truth} contacts; {score.found - score.hits[0]} false alarms, "
          f"{on_sand} of them at a ball on sand; bias {score.bias_ms():+.2f} ms")
    print(f"  {'':18} F50    F20    F10     " + "  ".join(f"{skill:>6}" for skill in SKILLS) + "   (recall by skill)")
    row("sample", *(score.f(i) for i in range(3)), map(share, SKILLS))
    beside = [key for key in figures if key[1] in ("beach", "all")]
    for key in beside:
        figure = figures[key]
        row(" ".join(key), *(float(figure[f]) for f in ("f50", "f20", "f10")), (float(figure[s]) for s in SKILLS))
    print("  F50 of the sample less that of: "
          + ", ".join(f"{' '.join(key)} {score.f(0) - float(figures[key]['f50']):+.3f}" for key in beside))


if __name__ == "__main__":
    sys.exit(main())
