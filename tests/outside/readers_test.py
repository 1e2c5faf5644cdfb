# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The independent readers notice what they are there to notice: each spoilt list is told from the good one, by the
rule that it breaks. Values of drop frame are those of SMPTE ST 12-1's counting rule."""
import json
import pathlib
import re
import sys
import tempfile
import unittest
from fractions import Fraction

import clock
import cut_compare
import edl_reader
import otio_reader

GOLDEN = pathlib.Path(__file__).resolve().parents[1] / "golden"
NTSC = Fraction(30000, 1001)
STARTS = {"C1_0001.mp4": 900000, "N.mov": 2159950, "C0.mp4": 109592, "C1.mp4": 109592, "C2.mp4": 109592}


class Spoilt(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)

    def put(self, name, data):
        path = pathlib.Path(self.folder.name) / name
        path.write_bytes(data)
        return path

    def edl_breaches(self, spoil, golden="strandtag.edl", rate=Fraction(25)):
        data = (GOLDEN / golden).read_bytes()
        self.assertEqual(edl_reader.breaches(self.put("good.edl", data), rate), [])
        spoilt = spoil(data)
        self.assertFalse(spoilt == data, "the list was not spoilt")
        return " | ".join(edl_reader.breaches(self.put("bad.edl", spoilt), rate))

    def otio_breaches(self, spoil, golden="strandtag.otio"):
        value = json.loads((GOLDEN / golden).read_text(encoding="utf-8"))
        spoil(value)
        return " | ".join(otio_reader.breaches(self.put("bad.otio", json.dumps(value).encode())))


def swap(old, new, count=1):
    return lambda data: data.replace(old, new, count)


def move_record(data, number, channel, by):
    """The record times of one event moved by some frames."""
    def moved(match):
        labels = [clock.label(clock.frames(match[i].decode(), Fraction(25), False) + by, Fraction(25), False).encode()
                  for i in (2, 3)]
        return match[1] + labels[0] + b" " + labels[1]
    return re.sub(rb"(?m)^(%03d  .{8} %-4b.{35})(\S{11}) (\S{11})" % (number, channel), moved, data)


class Edl(Spoilt):
    def test_each_breach_is_found(self):
        cases = {
            "byte-order mark (rule 1)": lambda d: b"\xef\xbb\xbf" + d,
            "tab (rule 1)": swap(b"001  C10001 ", b"001\tC10001 "),
            "no printable ASCII (rule 1)": swap(b"Dune", b"D\xc3\xbcne"),
            "more than one kind (rule 1)": swap(b"\r\n", b"\n"),
            "cut short (rule 1)": lambda d: d[:-2],
            "comment before the first event (rule 2)": swap(b"001  C1", b"* MADE BY HAND\r\n001  C1"),
            "expected an FCM line (rule 2)": swap(b"FCM: NON-DROP FRAME\r\n", b""),
            "expected 'TITLE": swap(b"TITLE: Strandtag\r\n", b""),
            "neither event, M2 nor comment": swap(b"* FROM", b"FROM"),
            "76 columns of an event (rule 3)": swap(b"001  C10001   V ", b"001 C10001   V  "),
            "reel out of its columns (rule 3)": swap(b"001  C10001   V     C   ", b"001  C10001 V     C     "),
            "expected 003 (rule 4)": swap(b"003  C10001", b"009  C10001"),
            "is both C1_0001.mp4 and N.mov (rule 5)": swap(b"006  N     ", b"006  C10001"),
            "channel 'V2' (rule 6)": swap(b"C10001   V ", b"C10001   V2"),
            "only cuts are expected (rule 6)": swap(b"V     C ", b"V     D "),
            "does not exist at 25": swap(b"10:00:01:13", b"10:00:01:25"),
            "expected ':' before the frames (rule 7)": swap(b"10:00:01:13", b"10:00:01;13"),
            "and no M2 line follows (rule 9)": swap(b"10:00:03:03", b"10:00:03:04"),
            "M2 does not follow its event directly (rule 9)": swap(
                b"M2   DNE3     006.2          00:00:00:20\r\n* FROM CLIP NAME: Dune #3.mp4\r\n",
                b"* FROM CLIP NAME: Dune #3.mp4\r\nM2   DNE3     006.2          00:00:00:20\r\n"),
            "M2 of reel OTHER": swap(b"M2   DNE3 ", b"M2   OTHER"),
            "M2 timecode is not the event's source in": swap(b"006.2          00:00:00:20", b"006.2          00:00:00:21"),
            "source has 20 frames, 80 record frames at 0.5": swap(b" 006.2 ", b" 012.5 "),
            "not the form of an M2 line": swap(b" 006.2 ", b" 6.2   "),
            "no FROM CLIP NAME (rule 11)": swap(b"* FROM CLIP NAME: N.mov\r\n", b""),
            "is no file name (rule 11)": swap(b"NAME: N.mov", b"NAME: /shoot/N.mov"),
            "outside its event (rule 12)": swap(b"LOC: 01:00:00:12", b"LOC: 01:00:02:12"),
            "not the form of a marker": swap(b"RED     attack", b"SCARLET attack"),
            "overlaps event 004 on V (rule 8)": lambda d: move_record(d, 5, b"V", -1),
            "gap of 1 frames on V (rule 8)": lambda d: move_record(d, 5, b"V", 1),
            "outside the picture's first and last frame": lambda d: move_record(d, 8, b"A2", 10),
        }
        for expected, spoil in cases.items():
            with self.subTest(expected):
                self.assertIn(expected, self.edl_breaches(spoil))

    def test_drop_frame(self):
        cases = {
            "drop frame skips 01:01:00;01 (rule 7)": swap(b"01:01:00;02", b"01:01:00;01"),
            "expected ';' before the frames (rule 7)": swap(b"01:00:56;20", b"01:00:56:20"),
            "expected ':' before the frames (rule 7)": swap(b"007.5          01:01:00:02", b"007.5          01:01:00;02"),
            "LOC": swap(b"LOC: 01:01:00:12", b"LOC: 01:01:00;12"),
        }
        for expected, spoil in cases.items():
            with self.subTest(expected):
                found = self.edl_breaches(spoil, "drop_frame.edl", NTSC)
                self.assertTrue(found if expected == "LOC" else expected in found, found)
        self.assertIn("drop frame does not exist", self.edl_breaches(
            swap(b"FCM: NON-DROP", b"FCM: DROP")))

    def test_counting_has_the_published_values(self):
        for count, label in ((1799, "00:00:59;29"), (1800, "00:01:00;02"), (17982, "00:10:00;00"),
                             (107892, "01:00:00;00"), (1084319, "10:03:00;05"), (2589407, "23:59:59;29")):
            self.assertEqual(clock.frames(label, NTSC, True), count)
            self.assertEqual(clock.label(count, NTSC, True), label)
        self.assertEqual(clock.frames("05:01:30;03", Fraction(60000, 1001), True), 1084319)
        self.assertEqual(clock.day_frames(NTSC, True), 2589408)
        for missing in ("00:01:00;00", "00:01:00;01", "00:59:00;01"):
            with self.assertRaises(clock.BadLabel):
                clock.frames(missing, NTSC, True)

    def test_split_lists_must_join(self):
        events = (GOLDEN / "drop_frame.edl").read_bytes()
        one, two = self.put("1.edl", events), self.put("2.edl", events)
        with self.assertRaises(edl_reader.BrokenList):
            edl_reader.read_parts([one, two], NTSC)


class Otio(Spoilt):
    def test_each_breach_is_found(self):
        def clip(value, n=0, track=0):
            return value["tracks"]["children"][track]["children"][n]

        def media(value, n=0):
            return clip(value, n)["media_references"]["DEFAULT_MEDIA"]

        cases = {
            "object Clip.3 (rule 16)": lambda v: clip(v).update(OTIO_SCHEMA="Clip.3"),
            "kind Video or Audio": lambda v: v["tracks"]["children"][0].update(kind="video"),
            "has no reference (rule 17)": lambda v: clip(v).update(active_media_reference_key="other"),
            "rate 0 (rule 18)": lambda v: clip(v)["source_range"]["duration"].update(rate=0),
            "not written in full": lambda v: media(v)["available_range"]["duration"].update(rate=29.97),
            "no range (rule 19)": lambda v: clip(v).update(source_range=None),
            "no whole frame (rule 19)": lambda v: clip(v)["source_range"]["start_time"].update(value=900038.5),
            "duration -40 (rule 26)": lambda v: clip(v)["source_range"]["duration"].update(value=-40.0),
            "of a file of 20.000 s (rules 19, 20)": lambda v: clip(v)["source_range"]["start_time"].update(value=900480.0),
            "time_scalar 0": lambda v: clip(v, 1)["effects"][0].update(time_scalar=0),
            "tracks end on different frames": lambda v: v["tracks"]["children"][1]["children"].pop(),
            "is not in the clip's time (rule 22)": lambda v: clip(v)["markers"][0]["marked_range"]["start_time"].update(value=12.0),
            "version or colour": lambda v: clip(v)["markers"][0].update(color="Scarlet"),
            "not percent-encoded (rule 23)": lambda v: media(v).update(target_url="a b.mp4"),
            "begins with ./ (rule 23)": lambda v: media(v).update(target_url="./a.mp4"),
            "metadata outside the namespace": lambda v: v["metadata"].update(other={}),
            "is two files (rule 5)": lambda v: media(v).update(target_url="other.mp4"),
            "missing or of another type": lambda v: v.pop("global_start_time"),
        }
        for expected, spoil in cases.items():
            with self.subTest(expected):
                self.assertIn(expected, self.otio_breaches(spoil))

    def test_strict_json(self):
        good = (GOLDEN / "strandtag.otio").read_bytes()
        cases = {
            "byte-order mark": b"\xef\xbb\xbf" + good,
            "stands twice": good.replace(b'"name": "Strandtag"', b'"name": "Strandtag", "name": "Strandtag"'),
            "no JSON number": good.replace(b'"value": 90000.0', b'"value": NaN'),
            "Expecting": good.replace(b'"value": 90000.0', b'"value": 90000.0,'),
            "codec": good.replace("ü".encode(), "ü".encode("latin-1")),
        }
        for expected, data in cases.items():
            with self.subTest(expected):
                self.assertNotEqual(data, good)
                self.assertIn(expected, " | ".join(otio_reader.breaches(self.put("bad.otio", data))))


class Compare(Spoilt):
    def differences(self, edl_data, spoil_otio=lambda value: None):
        edl = self.put("a.edl", edl_data)
        value = json.loads((GOLDEN / "strandtag.otio").read_text(encoding="utf-8"))
        spoil_otio(value)
        otio = self.put("a.otio", json.dumps(value).encode())
        return cut_compare.compare([edl], otio, Fraction(25), lambda clip: STARTS.get(clip, 0),
                                   name_in_edl=lambda name: name.replace("ü", "u"))

    def test_a_list_late_by_one_frame_differs(self):
        good = (GOLDEN / "strandtag.edl").read_bytes()
        self.assertEqual(self.differences(good), [])
        late = swap(b"10:00:07:15 10:00:08:10", b"10:00:07:16 10:00:08:11")(good)
        found = self.differences(late)
        self.assertEqual(len(found), 20)
        self.assertIn("V 230: C1_0001.mp4 at 7.660000 s in the EDL, 7.620000 s in the OTIO", found)

    def test_another_speed_file_start_or_reel_differs(self):
        good = (GOLDEN / "strandtag.edl").read_bytes()
        self.assertEqual(len(self.differences(good.replace(b"006.2", b"006.3"))), 80)
        other = self.differences(good, lambda v: v["global_start_time"].update(value=90001.0))
        self.assertTrue(any("rule 21" in text for text in other))
        reel = self.differences(good.replace(b" N     ", b" M     "))
        self.assertTrue(any("rule 5" in text for text in reel))
        origin = self.differences(good, lambda v: v["tracks"]["children"][0]["children"][0]["media_references"]
                                  ["DEFAULT_MEDIA"]["available_range"]["start_time"].update(value=1800001.0))
        self.assertEqual(len(origin), 40)  # half a list frame in the first shot: two origins (rule 25)
        renamed = self.differences(good.replace(b"N.mov", b"M.mov"))
        self.assertTrue(any("EDL shows M.mov, OTIO N.mov" in text for text in renamed))


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
