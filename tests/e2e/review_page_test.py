# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The review page in a browser (Debian's Chromium, by playwright-core): walked by keyboard, the preview played, the picture at
each contact read off it, and judged by axe-core, which goes by WCAG 2 A and AA. All from disk, as somebody would open it."""
import json
import os
import shutil
import subprocess
import sys
from fractions import Fraction

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import numpy as np  # noqa: E402

import npm  # noqa: E402
import small_day  # noqa: E402
from run_tool import Checks, Tool, Workplace, fail, need  # noqa: E402

# Versions that the Node of Debian 12 still runs.
PACKAGES = ("playwright-core@1.55.1", "axe-core@4.10.3")
SKIPPED = 77  # as ctest is told
LENGTH_S = 40
WALK = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support", "walk_page.js")


def load(path):
    with open(path, encoding="utf-8") as file:
        return json.load(file)


def browse(packages, page, *what):
    done = subprocess.run(["node", WALK, os.path.abspath(page), *what], capture_output=True, text=True, timeout=600,
                          env={**os.environ, "NODE_PATH": os.path.join(packages, "node_modules")})
    if done.returncode != 0:
        fail(f"the browser could not walk {page}:\n{done.stderr}")
    return json.loads(done.stdout)


def contacts_of(report):
    """Of each contact on the beat, in record order: its file, the speed of its shot, when it is shown."""
    found = []
    for shot in report["shots"]:
        speed = max(Fraction(part["speed_fraction"]) for part in shot.get("parts") or [shot])
        for anchor in sorted(shot["anchors"], key=lambda one: one["shown_record_s"]):
            found.append({"path": shot["path"], "speed": speed, "shown_s": anchor["shown_record_s"]})
    return found


def squares(movie):
    """The sample's row of squares (samples/strip.h) of each picture that ffmpeg decodes, as bits."""
    raw = subprocess.run(["ffmpeg", "-nostdin", "-v", "error", "-i", movie, "-vf", "crop=200:8:10:346:exact=1,format=gray", "-f",
                          "rawvideo", "-"], stdout=subprocess.PIPE, check=True).stdout
    rows = np.frombuffer(raw, np.uint8).reshape(-1, 8, 25, 8)[:, 2:6, :, 2:6].mean(axis=(1, 3))
    return ["".join("1" if level > 120 else "0" for level in row) for row in rows]


def wrong_pictures(walked, report, truth, folder, rate, pictures):
    """What is wrong with the picture that stood still at each contact, a line each."""
    wrong = []
    contacts = contacts_of(report)
    if len(contacts) != len(walked["hits"]):
        return [f"{len(contacts)} contacts in the report, {len(walked['hits'])} on the page"]
    for hit, contact in zip(walked["hits"], contacts):
        clip = truth["clips"][os.path.relpath(contact["path"], folder)]
        what = f"frame {hit['frame']} of {clip['take']}"
        if abs(hit["frame"] / rate - contact["shown_s"]) > 1 / rate:
            wrong.append(f"{what}: the contact is shown at {contact['shown_s']:.3f} s")
        if hit["bits"] != pictures[hit["frame"]]:
            wrong.append(f"{what}: the squares read {hit['bits']}, in the movie {pictures[hit['frame']]}")
        number, shown = int(hit["bits"][:16].replace("?", "0"), 2), int(hit["bits"][16:24].replace("?", "0"), 2)
        # One frame of the reel, in seconds of the clip, is as near as pictures come; half of one more is the detector's.
        picture_s = 1 / float(Fraction(clip["rate"]))
        frame_s = max(float(contact["speed"] / rate), picture_s)
        away_s = min(abs((number + 0.5) * picture_s - one["picture_s"]) for one in clip["contacts"])
        if shown != clip["clip"] or away_s > 1.5 * frame_s:
            wrong.append(f"{what}: shows picture {number} of clip {shown}, {1000 * away_s:.0f} ms from any contact of hand and ball")
    return wrong


def late_by_a_frame(folder):
    """The same page with a preview whose pictures come a frame late."""
    late = os.path.join(folder, "late")
    os.mkdir(late)
    shutil.copy(os.path.join(folder, "out", "larkhaven.html"), late)
    subprocess.run(["ffmpeg", "-nostdin", "-v", "error", "-i", os.path.join(folder, "out", "larkhaven.mp4"), "-vf",
                    "tpad=start=1:start_mode=clone", "-c:v", "libx264", "-crf", "18", "-c:a", "copy",
                    os.path.join(late, "larkhaven.mp4")], check=True)
    return os.path.join(late, "larkhaven.html")


def keyboard(that, walked, report):
    shots = [shot["record"]["in"] for shot in report["shots"]]
    rate = Fraction(report["delivery"]["rate"])

    def at(told, shot, what, after_s=0.5):
        begin = shots[shot] / rate
        that(told["in_shots"] and told["data_in"] == shots[shot], f"{what}: the keyboard is on {told['focus']}")
        that(begin <= told["time"] <= begin + after_s, f"{what}: the preview is at {told['time']} s, the shot begins at {begin} s")

    that(walked["tabs"] < 12, f"{walked['tabs']} times Tab to the shots")
    that(walked["first"]["in_shots"] and walked["first"]["data_in"] == 0, f"the first shot has the keyboard: {walked['first']}")
    at(walked["second"], 1, "arrow right")
    playing = walked["playing"]
    that(not playing["paused"] and playing["time"] > walked["second"]["time"] + 0.3, f"it plays: {playing}")
    that(abs(playing["playhead"] / 100 * report["delivery"]["frames"] / float(rate) - playing["time"]) < 0.15,
         f"the playhead runs with it: {playing}")
    that(walked["paused"]["paused"], "space pauses")
    at(walked["back"], 0, "arrow left")
    at(walked["run_on"], 5, "arrow right while the fifth shot plays")
    at(walked["end"], len(shots) - 1, "End")
    that(walked["home"]["data_in"] == 0, f"Home: {walked['home']}")
    at(walked["clicked"], 2, "a click on the third shot")
    that(all(hit["paused"] for hit in walked["hits"]), "it stands still at each contact")


def of_the_sample(checks, tool, build, packages, folder):
    that = checks.that
    program = need(os.path.join(os.path.abspath(build), "bin", "downball_sample"), "downball_sample (a target of this build)")
    subprocess.run([program, folder], check=True, stdin=subprocess.DEVNULL, capture_output=True)
    small_day.edit_job(os.path.join(folder, "job.json"), lambda job: job["delivery"].update(length_s=LENGTH_S))
    tool.must("log", folder)
    tool.must("cut", folder, "--preview")
    page = os.path.join(folder, "out", "larkhaven.html")
    report, truth = load(os.path.join(folder, "out", "larkhaven.report.json")), load(os.path.join(folder, "truth.json"))
    rate = Fraction(report["delivery"]["rate"])
    walked = browse(packages, page)
    print(f"ready after {walked['ready_ms']:.0f} ms; {os.path.getsize(page) / 1e6:.2f} MB, {len(report['shots'])} shots, "
          f"{len(walked['hits'])} contacts")
    that(walked["errors"] == [], f"no error in the page: {walked['errors']}")
    that({os.path.basename(url) for url in walked["requests"]} == {"larkhaven.html", "larkhaven.mp4"},
         f"nothing is loaded but page and preview: {walked['requests']}")
    for light in ("axe_light", "axe_dark"):
        that(walked[light] == [], f"{light} finds nothing serious: {walked[light]}")
    that(walked["names"] == [], f"everything to press has a name: {walked['names']}")
    that(walked["pictures"] and all(one["alt"] and one["wide"] == 224 for one in walked["pictures"]),
         f"{len(walked['pictures'])} pictures, each told in words: {walked['pictures'][:3]}")
    that(len(walked["pictures"]) == len(report["shots"]) + len(walked["hits"]), "a picture at each cut and contact")
    that(walked["print"]["player"] == "none" and walked["print"]["lanes"], f"on paper: {walked['print']}")
    that(walked["calm_scrolls"] and "smooth" not in walked["calm_scrolls"], f"no motion where none is wanted: {walked['calm_scrolls']}")
    that(walked["phone_over"] <= 0, f"a phone need not scroll sideways: {walked['phone_over']} px")
    keyboard(that, walked, report)
    pictures = squares(os.path.join(folder, "out", "larkhaven.mp4"))
    wrong = wrong_pictures(walked, report, truth, folder, rate, pictures)
    that(wrong == [] and len(walked["hits"]) >= 20, f"at each contact the picture of the contact: {wrong}")

    spoilt = wrong_pictures(browse(packages, late_by_a_frame(folder)), report, truth, folder, rate, pictures)
    that(len(spoilt) > 0.9 * len(walked["hits"]), f"a preview that is late by one frame is found out: {len(spoilt)} of "
                                                  f"{len(walked['hits'])} contacts")


STRANGE = {
    "tag": "<script>window.stranger=1</script><img src=x onerror='window.stranger=1'>",
    "quotes": "\"Quo'ted\" & `ticked`",
    "right to left": "\u05de\u05d9\u05e8\u05d4 \u202e123",
    "long": "Lang" * 75,
}


def with_strange_names(checks, tool, packages, folder):
    """Names of players, places and notes are text, whatever they hold."""
    that = checks.that
    small_day.make(tool, folder)
    small_day.edit_job(os.path.join(folder, "job.json"), lambda job: job["delivery"].update(length_s=6))
    header, rows = small_day.read_log(os.path.join(folder, "log.csv"))
    names = list(STRANGE.values())
    players = sorted({player for row in rows for player in row["players"].split()})
    small_day.edit_job(os.path.join(folder, "job.json"), lambda job: job.update(
        roster={"players": {player: {"team": "Terns", "name": names[n % len(names)]} for n, player in enumerate(players)}}))
    for n, row in enumerate(rows):
        row["note"] = names[n % len(names)]
    small_day.write_log(os.path.join(folder, "log.csv"), header, rows)
    tool.must("cut", folder, "--force")
    name = load(os.path.join(folder, "job.json"))["name"]
    seen = browse(packages, os.path.join(folder, "out", name + ".html"), "look")
    that(seen["errors"] == [] and seen["strangers"] is None and seen["scripts"] == 1, f"nothing of a name runs: {seen['errors']}")
    that(all(url.startswith("file:") and url.endswith(".html") for url in seen["requests"]), f"nothing is loaded: {seen['requests']}")
    for what, text in STRANGE.items():
        that(any(text in one for one in [seen["text"], *seen["spoken"]]), f"a name with {what} is shown as it is")
    that(seen["over"] <= 0, f"no name widens the page: {seen['over']} px")
    that(seen["axe_light"] == [], f"axe finds nothing serious: {seen['axe_light']}")
    that(seen["glance"] >= 1 and "--preview" in seen["text"], "without a preview the page shows stills, and says how to make one")


if __name__ == "__main__":
    if len(sys.argv) != 2:
        fail("give the build folder")
    need("/usr/bin/chromium", "chromium")
    judged, program = Checks(), Tool(sys.argv[1])
    with Workplace("page") as place:
        os.mkdir(os.path.join(place, "npm"))
        if not npm.install(os.path.join(place, "npm"), *PACKAGES):
            print(f"{', '.join(PACKAGES)}: the npm registry cannot be reached")
            sys.exit(SKIPPED)
        with_strange_names(judged, program, os.path.join(place, "npm"), os.path.join(place, "strange"))
        of_the_sample(judged, program, sys.argv[1], os.path.join(place, "npm"), os.path.join(place, "sample"))
    judged.finish()
