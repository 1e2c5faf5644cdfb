# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures that say which they are. Twenty fields, black or white, ten above ten: six bits of a clip's number from 1,
four check bits, ten bits of the picture's number. The fields are large, so that scaling and H.264 do them no harm,
and a mixture of two pictures is grey somewhere and reads as none. Black reads as none."""
import subprocess

COLUMNS, CLIP_BITS, CHECK_BITS, NUMBER_BITS = 10, 6, 4, 10
WIDTH, HEIGHT = 160, 90
BLACK_UP_TO, WHITE_FROM = 80, 175


def check_bits(clip, number):
    """Differs for numbers that one bit tells apart; the five keeps black from being a number."""
    return 5 ^ (clip & 15) ^ (clip >> 4) ^ (number & 15) ^ (number >> 4 & 15) ^ (number >> 8)


def fields(clip, number):
    """The twenty fields, true for white, row by row."""
    if not 0 < clip < 1 << CLIP_BITS or not 0 <= number < 1 << NUMBER_BITS:
        raise ValueError(f"clip {clip}, picture {number} cannot be painted")
    above = clip | check_bits(clip, number) << CLIP_BITS
    return [bool(row >> bit & 1) for row in (above, number) for bit in range(COLUMNS)]


def paint(clip, number):
    """The picture as WIDTH x HEIGHT bytes of grey."""
    lit = fields(clip, number)
    rows = [b"".join((b"\xff" if one else b"\0") * (WIDTH // COLUMNS) for one in lit[begin:begin + COLUMNS])
            for begin in (0, COLUMNS)]
    return b"".join(row * (HEIGHT // 2) for row in rows)


def number_of(levels):
    """(clip, picture) of the twenty fields' grey levels, or None where they are no number."""
    if any(BLACK_UP_TO < level < WHITE_FROM for level in levels):
        return None
    bits = sum((level >= WHITE_FROM) << place for place, level in enumerate(levels))
    clip, check, number = bits & 63, bits >> CLIP_BITS & 15, bits >> COLUMNS
    return (clip, number) if clip and check == check_bits(clip, number) else None


def read(path):
    """(clip, picture) or None for each picture that ffmpeg decodes of the file, in order of presentation."""
    # Nine points a field: the one in the middle is the mean of the field's middle ninth.
    across, down = 3 * COLUMNS, 6
    # Times do not matter any more; a second each keeps uneven ones from being complained about.
    command = ["ffmpeg", "-nostdin", "-v", "error", "-threads", "1", "-i", str(path), "-map", "0:v:0", "-vsync",
               "passthrough", "-vf", f"settb=1,setpts=N,scale={across}:{down}:flags=area,format=gray", "-f", "rawvideo", "-"]
    data = subprocess.run(command, stdout=subprocess.PIPE, check=True).stdout
    middles = [(3 * row + 1) * across + 3 * column + 1 for row in range(2) for column in range(COLUMNS)]
    return [number_of([data[begin + middle] for middle in middles])
            for begin in range(0, len(data) - across * down + 1, across * down)]


def write(path, pictures, rate, *options, filters="null", sound_s=None):
    """A file of these (clip, picture) pairs at a rate, None for black; `options` go to ffmpeg before the name."""
    command = ["ffmpeg", "-nostdin", "-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", "gray",
               "-s", f"{WIDTH}x{HEIGHT}", "-r", str(rate), "-i", "-"]
    if sound_s:
        command += ["-f", "lavfi", "-i", f"sine=r=16000:d={sound_s}", "-c:a", "aac"]
    command += ["-vf", filters, "-c:v", "libx264", "-pix_fmt", "yuv420p", *options, str(path)]
    raw = b"".join(paint(*one) if one else bytes(WIDTH * HEIGHT) for one in pictures)
    # Standard input carries the pictures, which -nostdin leaves alone.
    subprocess.run(command, input=raw, check=True)
