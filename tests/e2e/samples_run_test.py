# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""samples/run, from another folder than its own: it cuts what is there and names files that are there. The media
are a small job's, so that nothing is drawn for it, and its build folder has nothing left to build."""
import os
import shutil
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import small_day  # noqa: E402
from run_tool import Checks, Tool, Workplace  # noqa: E402

SCRIPT = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "samples", "run")


def built(build, folder):
    """A build folder that is always up to date, with the programs of the real one."""
    os.mkdir(folder)
    os.symlink(os.path.join(build, "bin"), os.path.join(folder, "bin"))
    with open(os.path.join(folder, "CMakeCache.txt"), "w", encoding="ascii") as file:
        file.write("CMAKE_GENERATOR:INTERNAL=Ninja\nCMAKE_PROJECT_NAME:STATIC=downball\n"
                   "CMAKE_MAKE_PROGRAM:FILEPATH=ninja\n")
    with open(os.path.join(folder, "build.ninja"), "w", encoding="ascii") as file:
        file.write("build downball: phony\nbuild downball_sample: phony\n")
    return folder


def main():
    build, checks = os.path.abspath(sys.argv[1]), Checks()
    with Workplace("samples-run") as place:
        folder = os.path.join(place, "day")
        os.mkdir(folder)
        small_day.make(Tool(build), folder)
        small_day.edit_job(os.path.join(folder, "job.json"), lambda it: it.update(name="beach"))
        shutil.rmtree(os.path.join(folder, "out"))
        with open(os.path.join(folder, "truth.json"), "w", encoding="ascii") as file:
            file.write("{}\n")  # by which the script sees that the media are made
        settings = {**os.environ, "BUILD": built(build, os.path.join(place, "build"))}
        done = subprocess.run([SCRIPT, "day"], cwd=place, env=settings, capture_output=True, text=True,
                              stdin=subprocess.DEVNULL)
        print(done.stdout)
        checks.that(done.returncode == 0, f"exit {done.returncode}: {done.stderr}")
        named = [line.strip() for line in done.stdout.partition("Look at the cut")[2].splitlines()
                 if line.startswith("  ")]
        wanted = [os.path.join(os.path.realpath(folder), "out", "beach" + end)
                  for end in (".html", ".edl", ".otio", ".report.json")]
        checks.that(named == wanted, f"names {named}, expected {wanted}")
        checks.that(all(os.path.isfile(name) for name in named), "the files it names are there")
        asked = subprocess.run([os.path.join(build, "bin", "downball_sample"), "--help"], cwd=place, capture_output=True,
                               text=True, stdin=subprocess.DEVNULL)
        checks.that(asked.returncode == 2 and "OUT_DIR" in asked.stderr, f"an option of its maker is told how it is used: {asked}")
        checks.that(not os.path.exists(os.path.join(place, "--help")), "and is no folder")
    checks.finish()


if __name__ == "__main__":
    main()
