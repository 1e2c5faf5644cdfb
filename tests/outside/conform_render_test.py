# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The conform renderer itself: pictures of files whose frame number is drawn in them, at several rates, are the ones
that the frame rule asks for. The files are made by ffmpeg; presentation times are those ffprobe reports."""
import pathlib
import subprocess
import sys
import tempfile
import unittest
from fractions import Fraction

import conform_render

BITS = 10
RATES = {"25": "10:00:00:10", "50": "10:00:00:20", "100": "10:00:00:40", "120": None, "30000/1001": "10:00:00;10"}


def make(path, rate, label):
    """Two seconds in which bar n from the left is white where bit n of the picture's number is set; B-frames, so
    that decoding order is not presentation order."""
    lit = f"255*mod(floor(N/pow(2\\,floor(X/{conform_render.WIDTH // BITS})))\\,2)"
    command = ["ffmpeg", "-v", "error", "-y", "-f", "lavfi", "-i",
               f"nullsrc=s=160x90:r={rate}:d=2,format=gray,geq=lum='{lit}'", "-c:v", "libx264", "-preset", "veryfast",
               "-bf", "2", "-g", "30", "-pix_fmt", "yuv420p"]
    subprocess.run(command + (["-timecode", label] if label else []) + [str(path)], check=True)


def number_in(picture):
    middle = conform_render.HEIGHT // 2 * conform_render.WIDTH
    width = conform_render.WIDTH // BITS
    return sum(1 << bit for bit in range(BITS) if picture[middle + bit * width + width // 2] > 127)


class Renderer(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.media = {}
        for rate, label in RATES.items():
            path = pathlib.Path(cls.folder.name) / f"c{rate.split('/')[0]}.mp4"
            make(path, rate, label)
            cls.media[rate] = conform_render.Media(str(path))

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_a_picture_is_the_one_of_its_number(self):
        for rate, media in self.media.items():
            wanted = {0, 1, 2, 3, 17, 29, 30, 31, len(media.pts()) - 1}
            self.assertEqual({index: number_in(picture) for index, picture in media.pictures(wanted)},
                             {index: index for index in wanted}, rate)

    def test_the_last_picture_up_at_an_instant_is_taken(self):
        for rate, media in self.media.items():
            one = 1 / Fraction(rate)
            self.assertEqual([media.picture(second) for second in (-one, 0, one - Fraction(1, 10**6), one, 7 * one)],
                             [0, 0, 0, 1, 7], rate)

    def test_start_labels_in_list_frames(self):
        expected = {"25": 900010, "50": 900010, "100": 900010, "120": 0,
                    "30000/1001": (1078920 + 10) * 25 * Fraction(1001, 30000)}  # 10 h of drop frame: C1.4
        for rate, count in expected.items():
            self.assertEqual(self.media[rate].first_frame(Fraction(25)), count, rate)
        self.assertEqual(self.media["30000/1001"].first_frame(Fraction(30000, 1001)), 1078930)

    def test_one_wrong_picture_is_seen(self):
        path = self.media["50"].path
        right = [(path, Fraction(2 * k + 1, 50)) for k in range(20)]
        late = list(right)
        late[7] = (path, right[7][1] + Fraction(1, 50))
        a, b, c = conform_render.render(right, list(right), late)
        self.assertEqual(conform_render.differing_frames(a, b), [])
        self.assertEqual(conform_render.differing_frames(a, c), [7])
        self.assertEqual(conform_render.differing_frames(a, a[:-1]), [19])
        self.assertEqual(len(set(a)), 20)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
