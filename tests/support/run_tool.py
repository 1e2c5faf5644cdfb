# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs programs for the end-to-end tests, and keeps count of what went wrong."""
import hashlib
import os
import shutil
import subprocess
import sys
import tempfile


def fail(message):
    print(f"FAILED: {message}")
    sys.exit(1)


def need(path, package):
    """The path, or a clear end of the test naming the Debian package that holds it."""
    if not os.path.exists(path):
        fail(f"{path} is missing: install the Debian package {package} (see .ci/packages-test)")
    return path


class Tool:
    """The built program, always run with an empty standard input and untranslated messages."""

    def __init__(self, build):
        self.path = os.path.join(os.path.abspath(build), "bin", "downball")
        if not os.access(self.path, os.X_OK):
            fail(f"{self.path} is not there; build the target 'downball' first")

    def __call__(self, *arguments, cwd=None, prefix=(), timeout=300):
        command = [*prefix, self.path, *map(str, arguments)]
        return subprocess.run(command, cwd=cwd, stdin=subprocess.DEVNULL, capture_output=True, text=True,
                              errors="replace", timeout=timeout, env={**os.environ, "LC_ALL": "C.UTF-8"})

    def must(self, *arguments, cwd=None):
        """Runs and ends the test unless the program says it did what was asked."""
        done = self(*arguments, cwd=cwd)
        if done.returncode != 0:
            fail(f"downball {' '.join(map(str, arguments))}: exit {done.returncode}\n{done.stdout}{done.stderr}")
        return done


class Checks:
    """Goes on after a failed check, so that one run tells all; ends the script with the right status."""

    def __init__(self):
        self.done = 0
        self.failed = []

    def that(self, holds, what):
        self.done += 1
        if not holds:
            self.failed.append(what)
            print(f"FAILED: {what}")
        return bool(holds)

    def finish(self):
        print(f"{self.done} checks, {len(self.failed)} failed")
        sys.exit(1 if self.failed or not self.done else 0)


class Workplace:
    """A folder of its own, gone afterwards; kept with DOWNBALL_KEEP=1 to look into."""

    def __init__(self, name):
        self.path = tempfile.mkdtemp(prefix=f"downball-{name}-")

    def __enter__(self):
        return self.path

    def __exit__(self, *_):
        if os.environ.get("DOWNBALL_KEEP"):
            print(f"kept: {self.path}")
        else:
            shutil.rmtree(self.path, ignore_errors=True)


def unprivileged():
    """How to run without root's way round the modes; () where the test is no root anyway."""
    return ("setpriv", "--reuid=65534", "--regid=65534", "--clear-groups") if os.geteuid() == 0 else ()


def placeless(folder, job):
    """Content of every file in a folder, by its name; the job's own place, which the report tells, is blotted out."""
    found = {}
    for name in sorted(os.listdir(folder)):
        with open(os.path.join(folder, name), "rb") as file:
            found[name] = file.read().replace(os.fsencode(os.path.realpath(job)), b"JOB")
    return found


def hashes(folder):
    """Content hash of every file below a folder, by its path from there; folders stand as ''. What was found in clips and
    is kept for the next run is no output."""
    found = {}
    for root, folders, files in os.walk(folder):
        if os.path.samefile(root, folder) and "analysis" in folders:
            folders.remove("analysis")
        for name in folders:
            found[os.path.relpath(os.path.join(root, name), folder) + "/"] = ""
        for name in files:
            path = os.path.join(root, name)
            with open(path, "rb") as file:
                found[os.path.relpath(path, folder)] = hashlib.sha256(file.read()).hexdigest()
    return found
