# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes the bank of recorded sounds from the Debian packages that sounds.tsv names.

    bank.py BANK [--packages FOLDER]

writes BANK/{fit,apart}/CLASS/NAME.wav, mono, 48 kHz, 16 bit. A package that is not installed is fetched and unpacked into
FOLDER, not installed: only the sounds inside are wanted. Short sounds begin at their onset, beds can be played
round and round. What is there stays, unless it was made from another list or by other
rules.
"""
import argparse
import hashlib
import csv
import os
import shutil
import subprocess
import sys
import zipfile
from concurrent.futures import ThreadPoolExecutor

import numpy as np

import sound_bank

HERE = os.path.dirname(os.path.abspath(__file__))
SHORT = ("hit", "blow", "clap", "whistle", "step", "drum")
BEDS = ("crowd", "surf", "speech", "music")
LONGEST_SHORT_S, LONGEST_BED_S, SEAM_S = 3.0, 60.0, 0.2
ONSET_DB = 30.0  # a short one begins with its first sample over its peak less that


def listed(path):
    """Rows of sounds.tsv: split, class, package, path (as installed; archive!member inside a zip file), note."""
    with open(path, newline="", encoding="utf-8") as file:
        lines = (line for line in file if line.strip() and not line.startswith("#"))
        rows = list(csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE))
    for row in rows:
        if row["split"] not in ("fit", "apart") or row["class"] not in SHORT + BEDS:
            raise SystemExit(f"{path}: split fit or apart, and a class of {', '.join(SHORT + BEDS)} expected: {row}")
    return rows


def fetch(package, folder):
    """Unpacks a package that is not installed."""
    into = os.path.join(folder, package)
    if os.path.isdir(into):
        return
    print(f"unpacking {package}", file=sys.stderr)
    part = into + ".part"
    os.makedirs(part, exist_ok=True)
    if subprocess.run(["apt-get", "download", "-qq", package], cwd=part, stderr=subprocess.DEVNULL).returncode:
        raise SystemExit(f"cannot fetch the Debian package {package}: run apt-get update, or look at the network")
    for name in [n for n in os.listdir(part) if n.endswith(".deb")]:
        subprocess.run(["dpkg-deb", "-x", name, "."], cwd=part, check=True)
        os.remove(os.path.join(part, name))
    os.rename(part, into)


def from_onset(samples):
    begin = int(round(sound_bank.onset_s(samples, sound_bank.RATE, ONSET_DB) * sound_bank.RATE))
    return samples[begin:begin + int(LONGEST_SHORT_S * sound_bank.RATE)]


def endless(samples):
    """A bed whose end fades into its beginning: a jump there would sound like a click."""
    samples = samples[:int(LONGEST_BED_S * sound_bank.RATE)]
    seam = min(int(SEAM_S * sound_bank.RATE), len(samples) // 4)
    rise = np.sqrt(np.arange(seam) / seam)
    joined = samples[:len(samples) - seam].copy()
    joined[:seam] = joined[:seam] * rise + samples[len(samples) - seam:] * rise[::-1]
    return joined


class Bank:
    def __init__(self, folder, packages):
        self.folder, self.packages = folder, packages

    def target(self, row):
        inner = row["path"].split("!")[-1]
        parent, stem = os.path.splitext(inner)[0].split("/")[-2:]
        name = f"{row['package']}-{parent}-{stem}.wav".replace(" ", "_")
        return os.path.join(self.folder, row["split"], row["class"], name)

    def source(self, row):
        """The sound's file, or the archive that holds it."""
        path = row["path"].split("!")[0]
        for root in ("", os.path.join(self.packages, row["package"])):
            if os.path.isfile(root + path):
                return root + path
        raise SystemExit(f"{path}: not in package {row['package']}; another release of Debian?")

    def decode(self, row):
        path, target = self.source(row), self.target(row)
        if "!" not in row["path"]:
            return sound_bank.decode(path, sound_bank.RATE)[0]
        member = row["path"].split("!")[1]
        loose = target + ".from" + os.path.splitext(member)[1]
        with zipfile.ZipFile(path) as archive, open(loose, "wb") as file:
            file.write(archive.read(member))
        samples, _ = sound_bank.decode(loose, sound_bank.RATE)
        os.remove(loose)
        return samples

    def make(self, row):
        target = self.target(row)
        if os.path.isfile(target):
            return
        os.makedirs(os.path.dirname(target), exist_ok=True)
        samples = self.decode(row)
        if not np.any(samples):
            raise SystemExit(f"{row['path']} of {row['package']}: silence, or no sound at all")
        samples = from_onset(samples) if row["class"] in SHORT else endless(samples)
        sound_bank.write_wav(target + ".part", 0.9 * samples / np.abs(samples).max())
        os.rename(target + ".part", target)


def recipe(*paths):
    digest = hashlib.sha256()
    for path in paths:
        with open(path, "rb") as file:
            digest.update(file.read())
    return digest.hexdigest()


def clear_if_stale(folder, now):
    """What an older list or an older way of cutting made must not take part."""
    stamp = os.path.join(folder, "recipe")
    if os.path.isfile(stamp):
        with open(stamp, encoding="ascii") as file:
            if file.read() == now:
                return
    for split in ("fit", "apart"):
        shutil.rmtree(os.path.join(folder, split), ignore_errors=True)
    os.makedirs(folder, exist_ok=True)
    with open(stamp, "w", encoding="ascii") as file:
        file.write(now)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("bank")
    parser.add_argument("--packages", help="where packages that are not installed are unpacked; default BANK.packages")
    parser.add_argument("--sounds", default=os.path.join(HERE, "sounds.tsv"))
    args = parser.parse_args()
    bank = Bank(args.bank, os.path.abspath(args.packages or args.bank + ".packages"))
    rows = listed(args.sounds)
    names = [bank.target(row) for row in rows]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise SystemExit(f"two sounds of one name: {', '.join(twice)}")
    clear_if_stale(args.bank, recipe(args.sounds, __file__, sound_bank.__file__))
    for package in sorted({row["package"] for row in rows if not os.path.isfile(row["path"].split("!")[0])}):
        fetch(package, bank.packages)
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(bank.make, rows))
    for split in ("fit", "apart"):
        counts = {kind: sum(r["split"] == split and r["class"] == kind for r in rows) for kind in SHORT + BEDS}
        print(f"{split:6}" + "  ".join(f"{kind} {count}" for kind, count in counts.items()), file=sys.stderr)


if __name__ == "__main__":
    sys.exit(main())
