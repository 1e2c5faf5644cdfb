# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""`show`: lists as tables, their rules checked, two compared; against the independent readers of tests/support."""
import os
import random
import sys
from fractions import Fraction

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import edl_reader  # noqa: E402
from run_tool import Checks, Tool, Workplace  # noqa: E402

GOLDEN = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "golden")
LISTS = {"strandtag": Fraction(25), "drop_frame": Fraction(30000, 1001)}


def load(path):
    with open(path, "rb") as file:
        return file.read()


def save(folder, name, data):
    path = os.path.join(folder, name)
    with open(path, "wb") as file:
        file.write(data)
    return path


def good_lists(checks, tool):
    for name in LISTS:
        for kind in ("edl", "otio"):
            done = tool("show", os.path.join(GOLDEN, f"{name}.{kind}"))
            checks.that(done.returncode == 0 and "keeps all rules" in done.stdout,
                        f"show {name}.{kind}: exit {done.returncode}\n{done.stdout}{done.stderr}")
        done = tool("show", os.path.join(GOLDEN, name + ".edl"), "--against", os.path.join(GOLDEN, name + ".otio"))
        checks.that(done.returncode == 0 and "the same frames" in done.stdout,
                    f"{name}: EDL against OTIO: exit {done.returncode}\n{done.stdout}{done.stderr}")


def a_frame_off(checks, tool, folder):
    lines = load(os.path.join(GOLDEN, "strandtag.edl")).decode().split("\r\n")
    at = next(n for n, line in enumerate(lines) if line[14:15] == "V" and not lines[n + 1].startswith("M2"))
    labels = lines[at][29:52].split(" ")
    moved = [label[:9] + f"{(int(label[9:]) + 1) % 25:02}" for label in labels]
    lines[at] = lines[at][:29] + " ".join(moved) + lines[at][52:]
    other = save(folder, "moved.edl", "\r\n".join(lines).encode())
    done = tool("show", other, "--against", os.path.join(GOLDEN, "strandtag.edl"))
    checks.that(done.returncode == 6 and "frames in which the lists differ" in done.stdout,
                f"a shot a frame off is found: exit {done.returncode}\n{done.stdout}")


def bad_input(checks, tool, folder):
    for name, data, wanted in (("empty.edl", b"", "empty"),
                               ("letter.edl", b"dear friend,\nhow are you?\n", "no event"),
                               ("utf16.edl", "TITLE: x\n".encode("utf-16"), "no text"),
                               ("half.otio", load(os.path.join(GOLDEN, "strandtag.otio"))[:3000], "half.otio"),
                               ("twice.otio", b'{"a": 1, "a": 2}', "twice"),
                               ("other.otio", b'{"OTIO_SCHEMA": "Clip.2"}', "other.otio")):
        done = tool("show", save(folder, name, data))
        checks.that(done.returncode == 3 and wanted in done.stderr and not done.stdout,
                    f"{name}: exit {done.returncode}: {done.stderr}")
    checks.that(tool("show", os.path.join(folder, "none.edl")).returncode == 3, "a list that is not there")
    done = tool("show", os.path.join(GOLDEN, "strandtag.edl"), "--rate", "100")
    checks.that(done.returncode == 2, f"a rate without timecode: exit {done.returncode}: {done.stderr}")


def spoilt(data, dice):
    """One byte of the events changed, or a line gone."""
    begin = data.index(b"001  ")
    if dice.random() < 0.3:
        lines = data.split(b"\r\n")
        del lines[dice.randrange(2, len(lines) - 1)]
        return b"\r\n".join(lines)
    at = dice.randrange(begin, len(data))
    if b"LOC:" in data[at - 3:at + 4]:
        return spoilt(data, dice)  # a comment that is no marker any more is no fault of a list
    return data[:at] + bytes([dice.choice(b"0123456789:;VAC. \t*")]) + data[at + 1:]


def two_readers(checks, tool, folder):
    """Of spoilt lists the independent reader and `show` find fault with the same."""
    dice = random.Random(9)
    apart, faults = [], 0
    data = load(os.path.join(GOLDEN, "strandtag.edl"))
    for n in range(300):
        path = save(folder, "spoilt.edl", spoilt(data, dice))
        wanted = bool(edl_reader.breaches(path, Fraction(25)))
        found = tool("show", path, "--rate", "25").returncode != 0
        faults += wanted
        if found != wanted:
            apart.append((n, wanted, load(path)))
    print(f"{faults} of 300 spoilt lists break a rule; the readers part on {len(apart)}")
    for n, wanted, text in apart[:5]:
        path = save(folder, "apart.edl", text)
        print(n, wanted, edl_reader.breaches(path, Fraction(25)), tool("show", path, "--rate", "25").stdout[-300:])
    checks.that(faults > 120 and not apart, "show and the independent reader judge spoilt EDLs alike")


def main():
    tool, checks = Tool(sys.argv[1]), Checks()
    with Workplace("show") as folder:
        good_lists(checks, tool)
        a_frame_off(checks, tool, folder)
        bad_input(checks, tool, folder)
        two_readers(checks, tool, folder)
    checks.finish()


if __name__ == "__main__":
    main()
