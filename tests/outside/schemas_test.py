# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Our schemas judged by python3-jsonschema, a validator of others (JSON Schema draft-07), and the two
validators compared: what one refuses, the program refuses too. The song named in each job does not exist, so
the program always fails, but a job that fits is refused for its song or log and not for /a/place in the job."""
import copy
import json
import os
import subprocess
import sys
import tempfile
import unittest

import jsonschema

build = sys.argv.pop(1)
tool = os.path.join(build, "bin", "downball")
source = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
schemas = os.path.join(source, "schemas")


def schema(name):
    with open(os.path.join(schemas, name + ".schema.json"), encoding="utf-8") as file:
        return json.load(file)


def theirs(job):
    """The places python3-jsonschema complains about, as JSON pointers."""
    errors = jsonschema.Draft7Validator(schema("job")).iter_errors(job)
    return {"".join("/" + str(part) for part in error.absolute_path) for error in errors}


def ours(job):
    """What the program says of the job, and its exit status."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "job.json")
        with open(path, "w", encoding="utf-8") as file:
            json.dump(job, file)
        done = subprocess.run([tool, "cut", path], capture_output=True, text=True, check=False)
        return done.stderr.replace(folder, "FOLDER"), done.returncode


small = {"downball": 1, "song": {"file": "song.wav"}, "footage": ["clips"]}

full = {
    "downball": 1, "$schema": "../job.schema.json", "note": "a remark", "name": "friday",
    "song": {"file": "song.wav", "start_s": 1.5, "licence": "ours", "bpm": None, "tempo": "double", "beat_one_s": 2.5,
             "beats_per_bar": 3}, "footage": ["a", "b"],
    "log": "log.csv", "out": "out", "roster": {"players": {"Mara": "Dune", "Ines": "Tide"}},
    "cameras": {"A": {"name": "long lens", "sound_offset_s": -0.01, "distance_m": 18, "capture_fps": 100}},
    "delivery": {"rate": "30000/1001", "drop_frame": True, "start_timecode": "01:00:00;00", "length_s": None},
    "pacing": {"shortest_s": 0.5, "longest_s": 4, "lead_in_s": [0.1, 0.3], "tail_s": 0.2, "handle_frames": 12.0,
               "cut_on": "bar"},
    "variety": {"players": {"Mara": {"at_least": 1, "at_most": 9}}, "skills": {"dig": {"at_least": 1}},
                "slow_motion_share_max": 0.2, "cutaway_share_max": 0, "reaction_share_max": 1, "replays": False,
                "confidence_floor": 0.5, "slowest": 1},
    "story": {"order": "free"}, "weights": {"sync": 1, "side": 0},
    "locks": [{"shot": "T001#5", "record_in": "01:00:01;00", "source_in": 3}, {"shot": "T2@1", "record_in": 12}],
    "sound": {"air_temperature_c": 31.5, "natural": False, "fade_frames": 0},
    "lists": {"line_end": "lf", "absolute_urls": True, "media_root": {"from": "/a", "to": "/b"}},
    "preview": {"shape": "tall", "longer_side_px": 1920, "loudness_lufs": -23, "burn_in": True},
}


def changed(path, value):
    job = copy.deepcopy(full)
    at = job
    for part in path[:-1]:
        at = at[part]
    at[path[-1]] = value
    return job


def without(path):
    job = copy.deepcopy(full)
    at = job
    for part in path[:-1]:
        at = at[part]
    del at[path[-1]]
    return job


# Each with the place both validators must name.
broken = [
    (changed(["downball"], 2), "/downball"),
    (changed(["song"], "song.wav"), "/song"),
    (without(["song"]), ""),
    (without(["song", "file"]), "/song"),
    (changed(["song", "bpm"], 19.9), "/song/bpm"),
    (changed(["song", "tempo"], "triple"), "/song/tempo"),
    (changed(["song", "beat_one_s"], -1), "/song/beat_one_s"),
    (changed(["song", "beats_per_bar"], 5), "/song/beats_per_bar"),
    (changed(["footage"], []), "/footage"),
    (changed(["footage"], ["a", 3]), "/footage/1"),
    (changed(["colour"], 1), ""),
    (changed(["pacing", "longst_s"], 1), "/pacing"),
    (changed(["pacing", "longest_s"], "four"), "/pacing/longest_s"),
    (changed(["pacing", "shortest_s"], 0), "/pacing/shortest_s"),
    (changed(["pacing", "lead_in_s"], [0.1]), "/pacing/lead_in_s"),
    (changed(["pacing", "lead_in_s"], [0.1, 0.2, 0.3]), "/pacing/lead_in_s"),
    (changed(["pacing", "lead_in_s"], [0.1, -1]), "/pacing/lead_in_s/1"),
    (changed(["pacing", "handle_frames"], 1.5), "/pacing/handle_frames"),
    (changed(["pacing", "cut_on"], "whim"), "/pacing/cut_on"),
    (changed(["variety", "slowest"], 0), "/variety/slowest"),
    (changed(["preview"], "tall"), "/preview"),
    (changed(["preview", "shape"], "round"), "/preview/shape"),
    (changed(["preview", "longer_side_px"], 158), "/preview/longer_side_px"),
    (changed(["preview", "longer_side_px"], 3842), "/preview/longer_side_px"),
    (changed(["preview", "longer_side_px"], 640.5), "/preview/longer_side_px"),
    (changed(["preview", "loudness_lufs"], 14), "/preview/loudness_lufs"),
    (changed(["preview", "loudness_lufs"], -41), "/preview/loudness_lufs"),
    (changed(["preview", "burn_in"], "yes"), "/preview/burn_in"),
    (changed(["preview", "width"], 640), "/preview"),
    (changed(["variety", "cutaway_share_max"], 1.01), "/variety/cutaway_share_max"),
    (changed(["variety", "replays"], 0), "/variety/replays"),
    (changed(["variety", "skills", "smash"], {}), "/variety/skills"),
    (changed(["variety", "players", "Mara", "at_least"], -1), "/variety/players/Mara/at_least"),
    (changed(["delivery", "length_s"], 0), "/delivery/length_s"),
    (changed(["delivery", "rate"], True), "/delivery/rate"),
    (changed(["roster", "players", "Mara"], 7), "/roster/players/Mara"),
    (changed(["cameras", "A", "distance_m"], "far"), "/cameras/A/distance_m"),
    (changed(["cameras", "A"], None), "/cameras/A"),
    (changed(["locks"], [{"record_in": 3}]), "/locks/0"),
    (changed(["locks", 1, "record_in"], -3), "/locks/1/record_in"),
    (changed(["weights", "sync"], -0.5), "/weights/sync"),
    (changed(["lists", "media_root"], {"from": "/a"}), "/lists/media_root"),
    (changed(["sound", "fade_frames"], 2.5), "/sound/fade_frames"),
    ([], ""),
]


class Schemas(unittest.TestCase):
    def test_each_schema_is_valid_draft_07(self):
        names = [name for name in os.listdir(schemas) if name.endswith(".schema.json")]
        self.assertGreaterEqual(len(names), 3)
        for name in names:
            with self.subTest(name):
                with open(os.path.join(schemas, name), encoding="utf-8") as file:
                    content = json.load(file)
                self.assertIn("draft-07", content["$schema"])
                jsonschema.Draft7Validator.check_schema(content)

    def test_every_object_of_ours_is_closed_and_every_member_described(self):
        def look(node, place):
            if not isinstance(node, dict):
                return
            if node.get("type") == "object" or "properties" in node:
                self.assertIn("additionalProperties", node, place)
                self.assertIsNot(node["additionalProperties"], True, place)
            for name, member in node.get("properties", {}).items():
                self.assertTrue("description" in member or "$ref" in member, f"{place}/{name}")
                look(member, f"{place}/{name}")
            for key in ("items", "additionalProperties"):
                look(node.get(key), f"{place}/{key}")
            for name, member in node.get("definitions", {}).items():
                look(member, f"{place}/definitions/{name}")

        for name in ("job", "beats", "impacts", "analysis"):
            look(schema(name), name)


class Jobs(unittest.TestCase):
    def test_jobs_that_fit_fit_in_both(self):
        for job in (small, full):
            self.assertEqual(theirs(job), set())
            said, status = ours(job)
            self.assertEqual(status, 3, said)
            self.assertNotIn("job.json", said)

    def test_broken_jobs_are_refused_in_both_at_the_same_place(self):
        for job, place in broken:
            with self.subTest(place):
                self.assertEqual(theirs(job), {place})
                said, status = ours(job)
                self.assertEqual(status, 3, said)
                self.assertIn("FOLDER/job.json" + (" " + place if place else "") + ": ", said)

    def test_several_breaches_are_all_told(self):
        job = changed(["pacing", "longest_s"], "four")
        job["sound"]["natural"] = "yes"
        job["cameras"]["A"]["lens"] = 85
        self.assertEqual(theirs(job), {"/pacing/longest_s", "/sound/natural", "/cameras/A"})
        said, _ = ours(job)
        for place in theirs(job):
            self.assertIn(place + ": found ", said)


if __name__ == "__main__":
    unittest.main()
