# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Timecode and rates for the independent readers: exact, and written from SMPTE ST 12-1's counting rule."""
import math
import re
from fractions import Fraction

LABEL = re.compile(r"(\d\d):(\d\d):(\d\d)([:;])(\d\d)")


class BadLabel(ValueError):
    pass


def exact_rate(number):
    """The rate a decimal stands for: 29.97 and 29.97002997002997 are 30000/1001."""
    for base in (24, 30, 48, 60, 120, 240):
        ntsc = Fraction(base * 1000, 1001)
        if abs(float(number) - float(ntsc)) < 0.006:
            return ntsc
    return Fraction(number).limit_denominator(100000)


def half_down(value):
    """Nearest whole number, ties to the lower."""
    return math.ceil(Fraction(value) - Fraction(1, 2))


def nominal(rate):
    return math.ceil(rate)


def day_frames(rate, drop):
    base = nominal(rate)
    return 24 * (base * 3600 - (base // 15 * 54 if drop else 0))


def frames(label, rate, drop):
    """Count of a label; fields out of range and numbers that drop frame skips raise BadLabel."""
    match = LABEL.fullmatch(label)
    if not match:
        raise BadLabel(f"{label!r} is no HH:MM:SS:FF")
    hours, minutes, seconds, frame = (int(match[i]) for i in (1, 2, 3, 5))
    base = nominal(rate)
    if hours > 23 or minutes > 59 or seconds > 59 or frame >= base:
        raise BadLabel(f"{label} does not exist at {base} frames a second")
    count = ((hours * 60 + minutes) * 60 + seconds) * base + frame
    if not drop:
        return count
    skipped = base // 15
    if seconds == 0 and frame < skipped and minutes % 10:
        raise BadLabel(f"drop frame skips {label}")
    whole = hours * 60 + minutes
    return count - skipped * (whole - whole // 10)


def label_s(text, rate):
    """A camera's start label as exact seconds of its day: by the count of its frames, which may have three digits, and
    in drop frame if it is written with ';'."""
    hours, minutes, seconds, frame = (int(part) for part in re.split("[:;]", text))
    base = nominal(rate)
    count = ((hours * 60 + minutes) * 60 + seconds) * base + frame
    if ";" in text:
        past = hours * 60 + minutes
        count -= base // 15 * (past - past // 10)
    return count / Fraction(rate)


def label(count, rate, drop):
    """The inverse of frames(), for messages and tests."""
    base = nominal(rate)
    if drop:
        per_ten = base * 600 - base // 15 * 9
        tens, rest = divmod(count, per_ten)
        minute_one = base * 60
        minutes = 0 if rest < minute_one else 1 + (rest - minute_one) // (minute_one - base // 15)
        count += base // 15 * (9 * tens + minutes)
    total, frame = divmod(count, base)
    return f"{total // 3600:02}:{total // 60 % 60:02}:{total % 60:02}{';' if drop else ':'}{frame:02}"
