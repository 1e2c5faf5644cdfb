# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The house rules that a compiler does not check: who may include whom, where outside libraries stop."""
import pathlib
import re
import shutil
import subprocess
import sys
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]

# Floors, lowest first; a room includes itself and rooms on lower floors, and never a neighbour.
FLOORS = [
    ["base"],
    ["files"],
    ["time"],
    ["model"],
    ["dsp", "text"],
    ["match"],
    ["job", "media", "beats", "clocks", "impacts", "shotlog", "solve", "timeline", "write", "read", "coverage"],
    ["analysis", "preview", "page"],
    ["pipeline"],
    ["cli"],
]
FLOOR = {room: floor for floor, rooms in enumerate(FLOORS) for room in rooms}

# Header of an outside library -> the only places that may include it.
OUTSIDE = {
    r"lib(av|sw)\w+/": r"src/media/",
    r"sndfile\.h": r"src/media/",
    r"aubio/": r"src/beats/\w+\.cpp$",
    r"ebur128\.h": r"src/dsp/\w+\.cpp$",
    r"(pango|cairo)": r"src/preview/\w+\.cpp$",
    r"nlohmann/": r"src/text/",
    r"valijson/": r"src/text/",
    r"csv\.h": r"src/text/",
    r"CLI/": r"src/cli/\w+\.cpp$",
    r"xxhash\.h": r"src/(media|files)/\w+\.cpp$",
}
ONE_FILE_ONLY = [r"aubio/", r"ebur128\.h", r"(pango|cairo)"]
TOP_LEVEL = {"CMakeLists.txt", "README.md", "DEVELOPERS.md", "LICENSE", "src", "include", "tests", "samples", "schemas"}


def sources():
    for top in ("src", "include/downball"):
        for path in sorted((ROOT / top).rglob("*")):
            if path.suffix in (".h", ".cpp"):
                yield path


def ours():
    """Names of our files: those git tracks, or in an unpacked archive all but what building makes."""
    if shutil.which("git"):
        told = subprocess.run(["git", "-C", ROOT, "ls-files"], capture_output=True, text=True)
        if told.returncode == 0 and told.stdout:
            return told.stdout.split()
    made = re.compile(r"(build[^/]*|samples/out|\.git|.*__pycache__)/")
    names = (path.relative_to(ROOT).as_posix() for path in ROOT.rglob("*") if path.is_file())
    return sorted(name for name in names if not made.match(name))


def room_of(path):
    parts = path.relative_to(ROOT).parts
    return parts[2] if parts[0] == "include" else parts[1]


def includes(path):
    return re.findall(r'^\s*#\s*include\s+([<"][^>"]+[>"])', path.read_text(), re.M)


class House(unittest.TestCase):
    def test_rooms_include_only_rooms_below(self):
        breaches = []
        for path in sources():
            room = room_of(path)
            self.assertIn(room, FLOOR, f"{path}: room without a floor")
            for include in includes(path):
                inner = re.match(r'"(?:downball/)?(\w+)/', include)
                if not inner or inner[1] not in FLOOR:
                    continue
                other = inner[1]
                if other != room and FLOOR[other] >= FLOOR[room]:
                    breaches.append(f"{path.relative_to(ROOT)} includes {include}")
        self.assertEqual(breaches, [])

    def test_private_headers_stay_in_their_room(self):
        breaches = []
        for path in sources():
            for include in includes(path):
                inner = re.match(r'"(\w+)/', include)
                if inner and inner[1] != "downball" and inner[1] != room_of(path):
                    breaches.append(f"{path.relative_to(ROOT)} includes {include}")
                if include.startswith('"') and "/" not in include:
                    breaches.append(f"{path.relative_to(ROOT)} includes {include} without its room")
        self.assertEqual(breaches, [])

    def test_public_headers_reach_no_outside_library(self):
        standard = re.compile(r"<\w+>$")
        for path in sources():
            if "include" not in path.relative_to(ROOT).parts[:1]:
                continue
            for include in includes(path):
                self.assertTrue(include.startswith('"downball/') or standard.match(include), f"{path}: {include}")

    def test_outside_libraries_stop_where_agreed(self):
        users = {}
        for path in sources():
            place = path.relative_to(ROOT).as_posix()
            for include in includes(path):
                for library, allowed in OUTSIDE.items():
                    if re.match(r'[<"]' + library, include):
                        self.assertRegex(place, allowed, f"{place} includes {include}")
                        users.setdefault(library, set()).add(place)
        for library in ONE_FILE_ONLY:
            self.assertLessEqual(len(users.get(library, ())), 1, f"{library}: {users.get(library)}")

    def test_cmake_links_only_rooms_below(self):
        for path in sorted((ROOT / "src").glob("*/CMakeLists.txt")):
            room = path.parent.name
            rooms = re.search(r"downball_room\(\w+\s+ROOMS\s+([a-z\s]+)", path.read_text())
            for other in rooms[1].split() if rooms else []:
                self.assertLess(FLOOR[other], FLOOR[room], f"{room} links {other}")

    def test_each_rule_for_lists_has_a_test_of_its_writer_and_one_of_its_reader(self):
        """Tests carry a rule's number in their name: "EDL rule 7: ...", "OTIO rules 19 and 25: ..."."""
        named = re.compile(r'TEST_CASE\(\s*"(?:EDL|OTIO) rules? (\d+)(?: and (\d+))?: ')
        places = {"writer": ["unit/write", "unit/timeline", "unit/model", "outside"], "reader": ["unit/read"]}
        last = max(int(number) for number in re.findall(r"^(\d+)\. ", (ROOT / "DEVELOPERS.md").read_text(), re.M))
        self.assertGreaterEqual(last, 26)
        for who, folders in places.items():
            tests = "".join(path.read_text() for folder in folders for path in (ROOT / "tests" / folder).glob("*_test.cpp"))
            found = {int(number) for pair in named.findall(tests) for number in pair if number}
            self.assertEqual(sorted(set(range(1, last + 1)) - found), [], f"rules without a test of the {who}")

    def test_files_carry_the_licence(self):
        names = ours()
        self.assertIn("README.md", names)
        for name in names:
            head = (ROOT / name).read_bytes()[:200].decode(errors="replace") if (ROOT / name).is_file() else ""
            if name.endswith((".h", ".cpp", ".py", ".cmake", "CMakeLists.txt")) and head or head.startswith("#!"):
                self.assertIn("SPDX-License-Identifier: GPL-3.0-or-later", head, name)
            top = name.split("/")[0]
            self.assertTrue(top in TOP_LEVEL or top.startswith("."), f"{name}: not an agreed top-level name")


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
