# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The sample's whole job, judged by its ground truth, by independent readers of both lists and by renders."""
import json
import os
import subprocess
import sys
import time
from fractions import Fraction

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import jsonschema  # noqa: E402
import numpy as np  # noqa: E402

import conform_render  # noqa: E402
import cut_compare  # noqa: E402
import edl_reader  # noqa: E402
import judge_cut  # noqa: E402
import otio_reader  # noqa: E402
import raw_walk  # noqa: E402
import round_trip  # noqa: E402
from run_tool import Checks, Tool, Workplace, fail, hashes  # noqa: E402

SCHEMAS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "schemas")


def load(path):
    with open(path, encoding="utf-8") as file:
        return json.load(file)


def generate(build, folder):
    program = os.path.join(os.path.abspath(build), "bin", "downball_sample")
    if not os.access(program, os.X_OK):
        fail(f"{program} is not there; build the target 'downball_sample' first")
    begun = time.monotonic()
    subprocess.run([program, folder], check=True, stdin=subprocess.DEVNULL, capture_output=True)
    print(f"sample made in {time.monotonic() - begun:.1f} s")


def footage_of(folder):
    """Path of each clip by its name alone."""
    found = {}
    for root, _, names in os.walk(os.path.join(folder, "footage")):
        for name in names:
            if found.setdefault(name, os.path.join(root, name)) != os.path.join(root, name):
                fail(f"two clips are called {name}")
    return found


def by_the_tools_own_reader(checks, tool, edl, otio):
    done = tool("show", edl, "--against", otio)
    checks.that(done.returncode == 0 and "the same frames" in done.stdout,
                f"show finds EDL and OTIO of the sample the same and without fault: {done.stdout}{done.stderr}")


def by_the_report(checks, report, schema):
    problems = sorted(jsonschema.Draft7Validator(schema).iter_errors(report), key=str)
    for problem in problems[:5]:
        print(f"   report {list(problem.absolute_path)}: {problem.message}")
    checks.that(not problems, f"the report fits its schema ({len(problems)} breaches)")
    errors = [anchor["error_frames"] for shot in report["shots"] for anchor in shot["anchors"]]
    worst = max(map(abs, errors), default=float("nan"))
    print(f"report: {len(errors)} anchors in {len(report['shots'])} shots, furthest {worst:.4f} frames; score "
          f"{report['score']['points']:.3f}, limit {report['score']['limit']:.3f}, gap {report['score']['gap']:.4f}")
    checks.that(errors and worst <= 0.5 + 1e-6, "by the report every anchor is within half a record frame of its beat")
    unanchored = [shot["id"] for shot in report["shots"] if shot["kind"] == "action" and not shot["anchors"]]
    checks.that(not unanchored, f"action shots without a contact on a beat: {unanchored}")
    rallies = [shot["parts"] for shot in report["shots"] if "parts" in shot]
    print(f"        {len(rallies)} rallies on the beat, {sum(map(len, rallies))} parts")
    joints = [(one[side]["out"], other[side]["in"]) for parts in rallies for one, other in zip(parts, parts[1:])
              for side in ("record", "source")]
    checks.that(joints and all(out == into for out, into in joints), "the parts of a rally abut in record and source")
    kinds = {shot["kind"] for shot in report["shots"]}
    checks.that({"action", "cutaway"} <= kinds, f"the cut has kinds {sorted(kinds)} only")


def by_the_truth(checks, shots, truth, on_record, rate):
    contacts = {file.rsplit("/", 1)[-1]: sorted(contact["picture_s"] for contact in clip.get("contacts", []))
                for file, clip in truth["clips"].items()}
    beats = sorted(on_record([beat["s"] for beat in truth["song"]["beats"]]))
    frame_s = float(1 / rate)

    def measure(shift_s=0.0):
        return judge_cut.errors_s(shots, lambda file: contacts.get(file, []), beats, shift_s)

    errors = measure()
    late = np.array([error for _, error in errors if error is not None])
    for shot, error in errors:
        if error is None:
            print(f"   {shot.file}: anchored on what is no contact (shot at record frame {shot.record_in})")
        elif abs(error) > frame_s:
            print(f"   {shot.file}: {1000 * error:+.1f} ms (shot at record frame {shot.record_in})")
    within, half = judge_cut.share(errors, frame_s), judge_cut.share(errors, frame_s / 2)
    median = float(np.median(late)) if len(late) else float("nan")
    print(f"truth: {len(errors)} contacts anchored in {len(shots)} shots; {100 * within:.1f} % within a frame, "
          f"{100 * half:.1f} % within half, median {1000 * median:+.2f} ms, furthest {1000 * max(abs(late)):.2f} ms")
    checks.that(len(errors) >= 20, f"{len(errors)} anchored contacts are too few to judge")
    checks.that(within == 1.0, "by the truth every anchor is within one record frame of its beat")
    checks.that(half >= 0.85, "by the truth at least 85 % of the anchors are within half a frame")
    checks.that(abs(median) <= 0.005, f"by the truth the median error is {1000 * median:+.2f} ms, at most 5 wanted")
    moved = measure(3 * frame_s)
    print(f"       the truth moved by 3 frames gives {100 * judge_cut.share(moved, frame_s):.1f} % within a frame")
    checks.that(judge_cut.share(moved, frame_s) < 0.5, "the check would pass with a truth that is 3 frames off")


def by_the_readers(checks, edl, otio, rate, footage):
    for name, broken in (("EDL", edl_reader.breaches(edl, rate)), ("OTIO", otio_reader.breaches(otio))):
        for breach in broken[:5]:
            print(f"   {name} {breach}")
        if not checks.that(not broken, f"the {name} keeps all rules of an independent reader ({len(broken)} breaches)"):
            return
    # Speeds are compared as far as an M2 line can say them; the renders below forgive nothing.
    found = cut_compare.compare([edl], otio, rate, lambda clip: footage.file(clip).first_frame(rate))
    for difference in found[:5]:
        print(f"   {difference}")
    checks.that(not found, f"EDL and OTIO hold the same cut, frame by frame ({len(found)} differences)")
    by_edl, by_otio = conform_render.render(conform_render.shown_by_edl([edl], rate, footage),
                                            conform_render.shown_by_otio(otio))
    different = conform_render.differing_frames(by_edl, by_otio)
    print(f"renders: {len(by_edl)} frames by the EDL alone, {len(by_otio)} by the OTIO alone, {len(different)} differ; "
          f"{len(set(by_edl))} different pictures")
    checks.that(by_edl and not different, "a render that follows the EDL alone equals one that follows the OTIO alone")
    checks.that(len(set(by_edl)) > len(by_edl) / 3, "the renders hardly move: they would compare equal whatever is cut")


def main():
    build, checks = sys.argv[1], Checks()
    tool = Tool(build)
    with Workplace("sample") as folder:
        generate(build, folder)
        with Workplace("walk") as raw:
            raw_walk.RawWalk(checks, tool, folder, raw).run()
        tool.must("log", "job.json", cwd=folder)
        begun = time.monotonic()
        print(tool.must("cut", "job.json", cwd=folder).stderr.strip())
        print(f"cut in {time.monotonic() - begun:.1f} s")
        first = hashes(os.path.join(folder, "out"))
        tool.must("cut", "job.json", "--fresh", cwd=folder)
        checks.that(hashes(os.path.join(folder, "out")) == first, "cutting twice gives the same bytes")

        name = os.path.join(folder, "out", load(os.path.join(folder, "job.json"))["name"])
        report, truth = load(name + ".report.json"), load(os.path.join(folder, "truth.json"))
        rate = Fraction(report["delivery"]["rate"])
        footage = conform_render.Footage(folder)
        by_the_report(checks, report, load(os.path.join(SCHEMAS, "report.schema.json")))
        shots = judge_cut.shots_of(name + ".edl", rate, lambda clip: footage.file(clip).first_frame(rate))
        by_the_truth(checks, shots, truth,
                     lambda beats: judge_cut.on_record(beats, report["song"], name + ".edl", rate), rate)
        by_the_tools_own_reader(checks, tool, name + ".edl", name + ".otio")
        by_the_readers(checks, name + ".edl", name + ".otio", rate, footage)
        round_trip.RoundTrip(checks, tool, folder).run()
    checks.finish()


if __name__ == "__main__":
    main()
