# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Packages of the npm registry, for tests that hold ours against them."""
import os
import shutil
import subprocess

from run_tool import need


def install(folder, *packages):
    """NAME@VERSION each, below folder/node_modules. False where the registry cannot be reached."""
    npm = shutil.which("npm") or need("/usr/bin/npm", "npm")
    done = subprocess.run([npm, "install", "--no-audit", "--no-fund", "--silent", *packages], cwd=folder, capture_output=True,
                          text=True, timeout=300)
    return done.returncode == 0 and all(
        os.path.isdir(os.path.join(folder, "node_modules", package.rsplit("@", 1)[0])) for package in packages)
