# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs every tracker over the corpus and prints the table. Called by ./run with the build folder."""
import argparse
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np

import corpus
import wide
from score import FIRST_S, score

GOAL = "goal          .950   .900   .920      -   .850    +-3.0   .950    1/20"


def run(command):
    """Lines of beats and the user seconds of that one process."""
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as process:
        lines = process.stdout.read().splitlines()
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 3):  # 3: no beat at all
        raise SystemExit(f"{' '.join(command)}: exit {process.returncode}")
    return [(float(t), p) for t, p in (line.split("\t")[:2] for line in lines)], usage.ru_utime


def trackers(args):
    out = {"downball": lambda t: [args.build + "/bin/downball", "beats", t.song],
           "aubio": lambda t: [args.build + "/bench/peer_aubio", t.wav],
           "QM-DSP": lambda t: [args.build + "/bench/peer_qm", t.wav]}
    if args.all:
        script = os.path.join(os.path.dirname(__file__), "peer_essentia.js")
        out["Essentia"] = lambda t: ["node", script, args.node, t.wav]
    return out


TELLS_BARS = ("downball", "QM-DSP")


def judge(track, commands):
    out = {}
    for name, command in commands.items():
        beats, cpu_s = run(command(track))
        down = [t for t, p in beats if p == "1"] if name in TELLS_BARS else None
        out[name] = score(track, [t for t, _ in beats], down, cpu_s)
    return out


def mean(values, digits=3):
    values = [v for v in values if not np.isnan(v)]
    return f"{np.mean(values):.{digits}f}".lstrip("0").rjust(6) if values else "     -"


def summary(name, scores):
    offsets = [s.offset_ms for s in scores if not np.isnan(s.offset_ms)]
    cpu = sum(s.cpu_s for s in scores) / sum(s.seconds for s in scores) * 60
    return (f"{name:12}{mean([s.f70 for s in scores])} {mean([s.f20 for s in scores])} {mean([s.cmlt for s in scores])} "
            f"{mean([s.amlt for s in scores])} {mean([s.down for s in scores])} {np.median(offsets) if offsets else 0:+8.1f} "
            f"{mean([s.near for s in scores])} {sum(s.wrong_level for s in scores):4}/{len(scores):<3} {cpu:7.2f}")


HEAD = f"{'':12}   F70    F20   CMLt   AMLt   down   offset   5 ms   level  cpu/min"


def report(results, args):
    print(f"\nMeans over tracks. Beats before {FIRST_S:.0f} s are dropped, as mir_eval.beat.evaluate does. down: F of downbeats at "
          "70 ms, where the truth\nstates bars. offset: median of the tracks' medians, ms. 5 ms: share of beats that near, "
          "tracks of one tempo alone. level: tracks at\nhalf, double or another wrong tempo. cpu/min: user seconds of the "
          "process a minute of audio, its own reading of the file included.")
    for held in (False, True):
        rows = [(t, r) for t, r in results if t.held == held]
        print(f"\n{'set aside' if held else 'development'}, {len(rows)} tracks, {sum(t.seconds for t, _ in rows) / 60:.1f} min")
        print(HEAD)
        for name in rows[0][1]:
            print(summary(name, [r[name] for _, r in rows]))
        print(GOAL)
    cpu = {name: sum(r[name].cpu_s for t, r in results if t.song == t.wav) for name in results[0][1]}
    print(f"\nprocessor time over QM-DSP's, tracks not coded: "
          + ", ".join(f"{name} {cpu[name] / cpu['QM-DSP']:.2f}" for name in cpu if name != "QM-DSP") + " (goal 1.50)")
    drift = [abs(r["downball"].drift_ms) for t, r in results if t.steady and t.seconds > 150 and (args.open_held or not t.held)]
    if drift:
        print(f"drift of downball over tracks longer than 150 s: at most {max(drift):.1f} ms (goal under 5)")

    print("\ndownball by family, development half")
    by_family([(t, r) for t, r in results if not t.held], ("pattern", "map", "loop"))
    print(f"\ndownball by track, {'both halves' if args.open_held else 'development half'}, worst first")
    by_track([(t, r) for t, r in results if args.open_held or not t.held])


def report_wide(results):
    print(f"\nwide, for development only, {len(results)} tracks, {sum(t.seconds for t, _ in results) / 60:.1f} min\n{HEAD}")
    for name in results[0][1]:
        print(summary(name, [r[name] for _, r in results]))
    print("\ndownball by family, wide")
    by_family(results, wide.FAMILIES)
    print("\ndownball by track, wide, worst first")
    by_track(results)


def by_family(results, families):
    print(HEAD)
    for family in families:
        rows = [r["downball"] for t, r in results if t.family == family]
        if rows:
            print(summary(family, rows))


def by_track(results):
    shown = [(t, r["downball"], r) for t, r in results]
    others = [name for name in results[0][1] if name != "downball"]
    print(f"{'':24}   F70    F20   CMLt   AMLt   down   offset   5 ms  drift  tempo found/true   F70 of {', '.join(others)}")
    for t, s, r in sorted(shown, key=lambda row: (row[1].f20 + row[1].cmlt + (0 if np.isnan(row[1].down) else row[1].down), row[0].name)):
        print(f"{t.name[:23]:23}{'*' if t.held else ' '}{mean([s.f70])} {mean([s.f20])} {mean([s.cmlt])} {mean([s.amlt])} "
              f"{mean([s.down])} {s.offset_ms:+8.1f} {mean([s.near])} {mean([s.drift_ms], 1)}  {s.level:.3f}           {' '.join(mean([r[o].f70]) for o in others)}")


def judge_wide(args, commands, pool):
    folder = os.path.join(args.media, "wide")
    os.makedirs(folder, exist_ok=True)
    delays = wide.delays_s(folder)
    chosen = wide.tracks(args.game)[::3 if args.quick else 1]
    list(pool.map(lambda t: wide.make(t, folder, delays), chosen))
    return list(pool.map(lambda t: (t, judge(t, commands)), chosen))


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--build", required=True)
    parser.add_argument("--media", required=True)
    parser.add_argument("--game", required=True)
    parser.add_argument("--node", default="")
    parser.add_argument("--all", action="store_true", help="Essentia too; slow")
    parser.add_argument("--quick", action="store_true", help="every third track")
    parser.add_argument("--wide", action="store_true", help="a third table: more tracks, none of them set aside")
    parser.add_argument("--open-held", action="store_true", help="shows single tracks of the half set aside: never tune after that")
    args = parser.parse_args()
    os.makedirs(args.media, exist_ok=True)
    chosen = corpus.tracks(args.game)
    if args.quick:
        chosen = [t for half in (False, True) for t in [t for t in chosen if t.held == half][::3]]
    delay_s = corpus.font_delay_s(args.media)
    commands = trackers(args)
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(lambda t: corpus.make(t, args.media, delay_s), chosen))
        print(f"{len(chosen)} tracks; truth of those played by fluidsynth moved by its measured delay, {1e3 * delay_s:.1f} ms",
              flush=True)
        results = list(pool.map(lambda t: (t, judge(t, commands)), chosen))
        report(results, args)
        if args.wide:
            report_wide(judge_wide(args, commands, pool))


if __name__ == "__main__":
    sys.exit(main())
