# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The whole job with material nobody here made: recorded hits of four games' packages laid into clips at known
instants, a packaged MIDI song rendered with fluidsynth. The truth is the tempo map and the instants laid."""
import json
import os
import sys
from fractions import Fraction

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import mir_eval  # noqa: E402
import numpy as np  # noqa: E402

import conform_render  # noqa: E402
import foreign_day  # noqa: E402
import judge_cut  # noqa: E402
import small_day  # noqa: E402
import smf  # noqa: E402
from run_tool import Checks, Tool, Workplace, fail, need  # noqa: E402

RATE = Fraction(25)
LENGTH_S = 48.0
SEED = 20230715
WANTED = 0.80
PLAYERS = {"isa": "Gulls", "jun": "Gulls", "kim": "Terns", "lou": "Terns"}


def prepare(folder):
    """Footage, song and the truth about both."""
    delay = foreign_day.synth_delay_s(folder)
    print(f"synthesiser: a note of 1.5 s sounds {1000 * delay:+.1f} ms late")
    if not 0 <= delay < 0.010:
        fail("the synthesiser does not begin at tick 0, so the tempo map is no truth about its sound")
    random = np.random.default_rng(SEED)
    clips = foreign_day.plan(random, actions=36, cutaways=8)
    foreign_day.film(clips, os.path.join(folder, "footage"), random, foreign_day.load_hits(folder))
    song = need(*foreign_day.SONG)
    foreign_day.render(song, os.path.join(folder, "song.wav"))
    return {clip.file: clip for clip in clips}, smf.read(song).beats()


def tag(folder, clips):
    path = os.path.join(folder, "log.csv")
    header, rows = small_day.read_log(path)
    if sorted(os.path.basename(row["file"]) for row in rows) != sorted(clips):
        fail("the new log does not hold a row for each clip")
    for index, row in enumerate(rows):
        clip = clips[os.path.basename(row["file"])]
        row.update(kind=clip.kind, camera=clip.camera, skills=" ".join(clip.skills),
                   players=list(PLAYERS)[index % 4] if clip.kind != "cutaway" else "",
                   size=["wide", "medium", "tight"][index % 3], angle=["eye", "low", "high"][index // 3 % 3],
                   side=["left", "right"][index % 2], rating=str(2 + index % 4))
    small_day.write_log(path, header, rows)


def set_job(job):
    job.update(name="reel", roster={"players": PLAYERS})
    job.setdefault("delivery", {}).update(rate="25", length_s=LENGTH_S)
    job["song"]["licence"] = "packaged with its licence"


def tell_hearing(folder, clips):
    """What the stages heard, by mir_eval's published measures; printed, judged by the cut alone."""
    truths, heard = [], []
    _, rows = small_day.read_log(os.path.join(folder, "log.csv"))
    for offset, row in enumerate(rows):  # clips end to end, far apart, make one list of onsets
        clip = clips[os.path.basename(row["file"])]
        if clip.kind == "action":
            truths += [100 * offset + at for at in clip.contacts]
            words = [word.split(":") for word in row["contacts"].split() if word != "-"]
            heard += [100 * offset + float(word[0]) for word in words if len(word) == 1 or float(word[1]) >= 0.5]
    truths, heard = np.array(truths), np.array(sorted(heard))
    f, precision, recall = mir_eval.onset.f_measure(truths, heard, window=0.05)
    pairs = mir_eval.util.match_events(truths, heard, 0.05)
    late = np.array([heard[b] - truths[a] for a, b in pairs]) * 1000 if pairs else np.array([np.nan])
    print(f"contacts: {len(truths)} laid, {len(heard)} heard; onset F {f:.3f}, precision {precision:.3f}, "
          f"recall {recall:.3f}; late by median {np.median(late):+.2f} ms, "
          f"90 % within {np.percentile(abs(late), 90):.2f} ms")


def tell_beats(tool, folder, beats):
    lines = tool.must("beats", "song.wav", cwd=folder).stdout.split("\n")
    found = np.array([float(line.split("\t")[0]) for line in lines if line])
    f = mir_eval.beat.f_measure(mir_eval.beat.trim_beats(np.array(beats)), mir_eval.beat.trim_beats(found))
    inside = found[found < LENGTH_S]
    late = np.array([at - judge_cut.nearest(beats, at) for at in inside]) * 1000
    print(f"beats: tempo map {60 / (beats[1] - beats[0]):.2f} a minute, found {60 / np.median(np.diff(found)):.2f}; "
          f"beat F {f:.3f}; in the cut late by median {np.median(late):+.2f} ms, furthest {abs(late).max():.2f} ms")


def by_chance(shots, beats, limit_s, draws=2000):
    """Share within the limit if each contact fell anywhere in its shot."""
    random = np.random.default_rng(1)
    hits = 0
    for shot in shots:
        at = random.uniform(shot.record_in, shot.record_out, draws) / shot.rate
        hits += sum(abs(one - judge_cut.nearest(beats, one)) <= limit_s for one in at)
    return hits / (draws * len(shots))


def judge(checks, folder, clips, beats):
    edl = os.path.join(folder, "out", "reel.edl")
    footage = conform_render.Footage(os.path.join(folder, "footage"))
    shots = judge_cut.shots_of(edl, RATE, lambda clip: footage.file(clip).first_frame(RATE))
    with open(os.path.join(folder, "out", "reel.report.json"), encoding="utf-8") as file:
        song = json.load(file)["song"]
    for piece in song["cut"]["pieces"]:
        print(f"song: {piece['in_s']:.3f} to {piece['out_s']:.3f} s; ends on: {song['cut']['ending']}")
    beats = judge_cut.on_record(beats, song, edl, RATE)
    actions = [shot for shot in shots if clips[shot.file].kind == "action"]
    errors = judge_cut.errors_s(actions, lambda file: clips[file].contacts, beats, first_mark_only=True)
    frame_s = float(1 / RATE)
    within = judge_cut.share(errors, frame_s)
    half = judge_cut.share(errors, frame_s / 2)
    late = [1000 * error for _, error in errors if error is not None]
    wrong = [shot.file for shot, error in errors if error is None]
    shifted = judge_cut.errors_s(actions, lambda file: clips[file].contacts, beats, 3 * frame_s, first_mark_only=True)
    shifted_share = judge_cut.share(shifted, frame_s)
    chance = by_chance(actions, beats, frame_s)
    print(f"cut: {len(shots)} shots, {len(actions)} of them action; by the truth {100 * within:.1f} % within a frame, "
          f"{100 * half:.1f} % within half a frame,\n     median {np.median(late):+.2f} ms, "
          f"furthest {max(map(abs, late)):.2f} ms")
    print(f"     anchored on what is no hit: {wrong or 'none'}")
    print(f"     a random placement would get {100 * chance:.1f} %; "
          f"the truth moved by 3 frames gives {100 * shifted_share:.1f} %")

    length = shots[-1].record_out
    checks.that(abs(length - LENGTH_S * RATE) <= 1, f"the cut is {length} frames long, asked for {LENGTH_S * RATE}")
    checks.that(len(actions) >= 12, f"only {len(actions)} action shots: too few to judge")
    checks.that(all(shot.marks for shot in actions), "every action shot has an anchored contact")
    checks.that(within >= WANTED, f"{100 * within:.1f} % within a frame of the truth, wanted {100 * WANTED:.0f} %")
    checks.that(shifted_share < WANTED, "the check would pass with a truth that is 3 frames off")
    checks.that(chance < WANTED / 2, "a random placement would come near to passing")


def main():
    tool, checks = Tool(sys.argv[1]), Checks()
    with Workplace("foreign") as folder:
        clips, beats = prepare(folder)
        tool.must("new", "footage", "--music", "song.wav", cwd=folder)
        tag(folder, clips)
        small_day.edit_job(os.path.join(folder, "job.json"), set_job)
        tool.must("log", "job.json", cwd=folder)
        tell_hearing(folder, clips)
        tell_beats(tool, folder, beats)
        print(tool.must("cut", "job.json", cwd=folder).stderr.strip())
        judge(checks, folder, clips, beats)
    checks.finish()


if __name__ == "__main__":
    main()
