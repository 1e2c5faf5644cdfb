# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The judge of counted cuts itself: counters survive what a preview does to pictures, a mixture of two is none, and one
wrong picture in one record frame is found, whether a list asks for it, a movie shows it or a file holds it."""
import os
import sys
import tempfile
import unittest
from fractions import Fraction

import conform_matrix
import counted
import counted_footage

HALF = Fraction(1, 2)
NAMES = ["c25.mp4", "c50.mp4", "df.mov", "night120.mp4", "trimmed.mp4", "late.mp4", "joined.mov", "tag.mkv"]


class Counters(unittest.TestCase):
    def test_each_number_is_itself_and_one_field_amiss_is_no_number(self):
        for clip, number in ((1, 0), (1, 1), (63, 1023), (33, 512), (21, 341), (42, 682)):
            levels = [255 * lit for lit in counted.fields(clip, number)]
            self.assertEqual(counted.number_of(levels), (clip, number))
            for place in range(len(levels)):
                self.assertIsNone(counted.number_of(levels[:place] + [255 - levels[place]] + levels[place + 1:]))
        self.assertIsNone(counted.number_of([0] * 20))
        self.assertIsNone(counted.number_of([255] * 20))

    def test_a_mixture_of_two_pictures_is_none(self):
        for number in range(0, 1000, 37):
            pairs = zip(counted.fields(9, number), counted.fields(9, number + 1))
            for share in (0.4, 0.5, 0.6):
                self.assertIsNone(counted.number_of([255 * (a * share + b * (1 - share)) for a, b in pairs]))

    def test_counters_survive_scaling_and_compression(self):
        pictures = [(n % 63 + 1, n * 7 % 1024) for n in range(150)]
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "movie.mp4")
            counted.write(path, pictures[:70] + [None] + pictures[71:], 25, "-crf", "23", "-preset", "veryfast",
                          filters="scale=640:360")
            self.assertEqual(counted.read(path), pictures[:70] + [None] + pictures[71:])


class Footage(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        counted_footage.make_all(cls.folder.name, NAMES)
        cls.footage = conform_matrix.Footage(cls.folder.name)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_what_is_decoded_is_what_was_painted(self):
        for name in NAMES:
            self.assertEqual(self.footage.decoded(self.footage.file(name).path), self.footage.painted(name), name)

    def test_presentation_times_are_those_of_the_rate(self):
        for name, rate in (("c25.mp4", 25), ("c50.mp4", 50), ("df.mov", Fraction(30000, 1001)), ("trimmed.mp4", 25)):
            pts = self.footage.file(name).pts()
            self.assertEqual(pts, [k / Fraction(rate) for k in range(len(pts))], name)

    def test_start_labels_are_found_wherever_they_stand(self):
        for name, count in (("c25.mp4", 900010), ("tag.mkv", 14 * 3600 * 25 + 12), ("joined.mov", (61400 * 30 + 2) * Fraction(25, 30)),
                            ("night120.mp4", (86397 * 120 + 119) * Fraction(25, 120)), ("late.mp4", 0)):
            self.assertEqual(self.footage.file(name).first_frame(Fraction(25)), count, name)

    def plan(self, **changes):
        shot = {"file": "c50.mp4", "record": [0, 20], "source_in": 11, "speed": "1/1", "contacts": [], "stretches": []}
        return {"rate": "25", "shots": [{**shot, **changes}]}

    def test_the_plan_means_the_last_picture_that_is_up(self):
        # The label of c50.mp4 lies half a list frame after one: source frame 11 is 10.5 frames in. The middle of record
        # frame k is then picture 2 x (10.5 + k + 0.5) = 22 + 2k.
        number = self.footage.told["c50.mp4"]["clip"]
        by_edl, by_otio, _ = conform_matrix.meant(self.plan(), self.footage)
        self.assertEqual(by_edl, [(number, 22 + 2 * k) for k in range(20)])
        self.assertEqual(by_otio, by_edl)
        # Every picture once, of which 12.5 a second is a speed that an M2 line can say.
        by_edl, by_otio, _ = conform_matrix.meant(self.plan(speed="1/2"), self.footage)
        self.assertEqual(by_edl, [(number, 21 + k) for k in range(20)])
        self.assertEqual(by_otio, by_edl)

    def test_a_rounded_speed_is_meant_for_both_unless_a_beat_is_lost(self):
        # 25/99 of 25 are 6.313 frames a second, for which 6.3 is written. Source frame 1 is half a frame in.
        speed = Fraction(25, 99)

        def contact(at, late):
            return [float((HALF + (at + late) * speed) / 25), at / 25]

        near = self.plan(speed=str(speed), record=[0, 150], source_in=1, contacts=[contact(8, 0)])
        by_edl, by_otio, apart = conform_matrix.meant(near, self.footage)
        self.assertEqual(by_edl, by_otio)
        self.assertEqual(apart, 0)
        # After 140 frames the rounded speed is 0.29 frames behind, which a contact that is 0.3 late cannot bear.
        far = self.plan(speed=str(speed), record=[0, 150], source_in=1, contacts=[contact(140, 0.3)])
        still, exact, apart = conform_matrix.meant(far, self.footage)
        self.assertEqual(apart, 1)
        self.assertEqual(still, by_edl)
        self.assertGreater(len(conform_matrix.differences("x", exact, by_edl)), 0)

    def test_one_wrong_picture_is_found(self):
        media = self.footage.file("c50.mp4")
        right = [(media.path, Fraction(2 * k + 1, 50)) for k in range(20)]
        number = self.footage.told["c50.mp4"]["clip"]
        wanted = [(number, 2 * k + 1) for k in range(20)]
        late = right[:7] + [(media.path, right[7][1] + Fraction(1, 50))] + right[8:]
        self.assertEqual(conform_matrix.differences("a list", self.footage.shown(right), wanted), [])
        self.assertEqual(conform_matrix.differences("a list", self.footage.shown(late), wanted),
                         [f"record frame 7: a list shows {(number, 16)}, expected {(number, 15)}"])
        self.assertEqual(len(conform_matrix.differences("a list", self.footage.shown(right[:-1]), wanted)), 1)

    def test_a_source_a_whole_clip_off_is_found(self):
        media = self.footage.file("c25.mp4")
        for second in (Fraction(-1, 50), media.end_s(), media.end_s() + 2):
            self.assertEqual(self.footage.shown([(media.path, second)]), [conform_matrix.OUTSIDE])
        self.assertEqual(self.footage.shown([(media.path, media.end_s() - Fraction(1, 1000))]), [(3, 99)])

    def test_a_wrong_picture_in_a_movie_or_a_file_is_found(self):
        wanted = [(3, n) for n in range(40)]
        amiss = wanted[:17] + [(3, 18)] + wanted[18:]
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "movie.mp4")
            counted.write(path, amiss, 25, "-crf", "23", filters="scale=640:360")
            self.assertEqual(conform_matrix.differences("the movie", counted.read(path), wanted),
                             ["record frame 17: the movie shows (3, 18), expected (3, 17)"])


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
