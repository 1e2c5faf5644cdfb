# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The golden lists judged by readers that share no code with the writers, and by the JSON Schema library of
Debian (python3-jsonschema, draft-07)."""
import json
import pathlib
import sys
import unicodedata
import unittest
from fractions import Fraction

import jsonschema

import cut_compare
import edl_reader
import otio_reader

ROOT = pathlib.Path(__file__).resolve().parents[2]
GOLDEN = ROOT / "tests" / "golden"
NTSC = Fraction(30000, 1001)
# Start labels of the hand-made cuts' files, in list frames.
STARTS = {"C1_0001.mp4": 900000, "N.mov": 2159950}


def plain(name):
    """A file name without its accents, by the Unicode decomposition tables."""
    return unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()


def load(name):
    return json.loads((GOLDEN / name).read_text(encoding="utf-8"))


def schema(name):
    value = json.loads((ROOT / "schemas" / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft7Validator.check_schema(value)
    return jsonschema.Draft7Validator(value)


class Schemas(unittest.TestCase):
    def test_golden_files_fit(self):
        for name, kind in (("strandtag.otio", "otio"), ("drop_frame.otio", "otio"), ("strandtag.report.json", "report")):
            self.assertEqual([e.message for e in schema(kind).iter_errors(load(name))], [], name)

    def test_misfits_are_refused(self):
        def newer(otio):
            otio["tracks"]["children"][0]["children"][0]["OTIO_SCHEMA"] = "Clip.3"

        def half_frame(otio):
            otio["tracks"]["children"][0]["children"][0]["source_range"]["start_time"]["value"] += 0.5

        def foreign_metadata(otio):
            otio["metadata"]["other"] = {}

        def no_warp_name(otio):
            del otio["tracks"]["children"][0]["children"][1]["effects"][0]["effect_name"]

        def dot_slash(otio):
            clip = otio["tracks"]["children"][0]["children"][0]
            clip["media_references"]["DEFAULT_MEDIA"]["target_url"] = "./a.mp4"

        def blank_in_url(otio):
            clip = otio["tracks"]["children"][0]["children"][0]
            clip["media_references"]["DEFAULT_MEDIA"]["target_url"] = "a b.mp4"

        for spoil in (newer, half_frame, foreign_metadata, no_warp_name, dot_slash, blank_in_url):
            otio = load("strandtag.otio")
            spoil(otio)
            self.assertFalse(schema("otio").is_valid(otio), spoil.__name__)
        for key in load("strandtag.report.json"):
            report = load("strandtag.report.json")
            del report[key]
            self.assertFalse(schema("report").is_valid(report), key)


class Readers(unittest.TestCase):
    def test_golden_lists_keep_every_rule(self):
        self.assertEqual(edl_reader.breaches(GOLDEN / "strandtag.edl", Fraction(25)), [])
        self.assertEqual(edl_reader.breaches(GOLDEN / "drop_frame.edl", NTSC), [])
        self.assertEqual(otio_reader.breaches(GOLDEN / "strandtag.otio"), [])
        self.assertEqual(otio_reader.breaches(GOLDEN / "drop_frame.otio"), [])

    def test_edl_and_otio_are_one_cut_frame_by_frame(self):
        found = cut_compare.compare([GOLDEN / "strandtag.edl"], GOLDEN / "strandtag.otio", Fraction(25),
                                    lambda clip: STARTS.get(clip, 0), name_in_edl=plain)
        self.assertEqual(found, [])
        # 01:00:56;20 of a drop-frame clock, where the long cut's clips begin.
        found = cut_compare.compare([GOLDEN / "drop_frame.edl"], GOLDEN / "drop_frame.otio", NTSC,
                                    lambda clip: 0 if clip == "song.wav" else 107892 + 1700)
        self.assertEqual(found, [])

    def test_marks_are_the_contacts_of_both(self):
        events = [e for e in edl_reader.read(GOLDEN / "strandtag.edl", Fraction(25)) if e.channel == "V"]
        items = [i for i in otio_reader.read(GOLDEN / "strandtag.otio").items if i.kind == "Video"]
        self.assertEqual([mark - 90000 for e in events for mark in e.marks], [mark for i in items for mark in i.marks])
        self.assertEqual([mark for i in items for mark in i.marks], [12, 50, 237])


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
