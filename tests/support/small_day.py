# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""A job that is cut in a moment: a click track, six short clips with synthetic thumps, two without hits."""
import csv
import json
import os

import numpy as np

import sound_bank
from sound_bank import RATE

BEAT_S = 0.5
SONG_S = 14.0
THUMPS_S = [0.9, 1.9]  # in every action clip
PLAYERS = ["ana", "bea", "cleo", "dora"]


def click_track(path, seconds=SONG_S, rate=RATE):
    """A low thump on every beat and a bright click on the first of four."""
    at = np.arange(int(seconds * rate)) / rate
    out = np.zeros_like(at)
    for beat in range(int(seconds / BEAT_S)):
        since = at[int(beat * BEAT_S * rate):][:rate // 4] - beat * BEAT_S
        sound = 0.5 * np.sin(2 * np.pi * 70 * since) * np.exp(-since / 0.05)
        if beat % 4 == 0:
            sound += 0.3 * np.sin(2 * np.pi * 1800 * since) * np.exp(-since / 0.02)
        out[int(beat * BEAT_S * rate):][:rate // 4] += sound
    sound_bank.write_wav(path, out, rate)


def thump(random):
    """A struck ball, roughly: a body of 180-260 Hz under a slap of noise, both dying away at once."""
    since = np.arange(RATE // 4) / RATE
    body = np.sin(2 * np.pi * random.uniform(180, 260) * since) * np.exp(-since / 0.03)
    slap = random.standard_normal(len(since)) * np.exp(-since / 0.006)
    return (0.6 * body + 0.35 * slap) * np.minimum(1, since / 0.001)


def footage(folder):
    random = np.random.default_rng(7)
    os.makedirs(folder)
    for index in range(8):
        bed = sound_bank.surf(random, 3.0, 0.01)
        if index < 6:
            for instant in THUMPS_S:
                sound = 0.6 * thump(random)
                bed[int(instant * RATE):][:len(sound)] += sound
        sound_bank.write_clip(os.path.join(folder, f"K_{index + 1:02d}.mp4"), bed, 25, size="64x36")


def another_take(path, to):
    """A clip with the same pictures and sound but other bytes: an empty `free` box behind it (ISO/IEC 14496-12)."""
    with open(path, "rb") as clip, open(to, "wb") as other:
        other.write(clip.read() + b"\0\0\0\x08free")


def read_log(path):
    with open(path, newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    return rows[0], [dict(zip(rows[0], row)) for row in rows[1:]]


def write_log(path, header, rows):
    with open(path, "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(header)
        writer.writerows([row.get(column, "") for column in header] for row in rows)


def edit_job(path, change):
    with open(path, encoding="utf-8") as file:
        job = json.load(file)
    change(job)
    with open(path, "w", encoding="utf-8") as file:
        json.dump(job, file, indent=2)
        file.write("\n")


def shorten(job, length_s=6.0):
    job["name"] = "reel"
    job.setdefault("delivery", {}).update({"rate": "25", "length_s": length_s})


def tag(folder):
    """Fills the fresh log as a person would: six actions, a cutaway, a reaction."""
    path = os.path.join(folder, "log.csv")
    header, rows = read_log(path)
    for index, row in enumerate(sorted(rows, key=lambda row: row["file"])):
        row["kind"] = "action" if index < 6 else ["cutaway", "reaction"][index - 6]
        if index < 6:
            row["skills"] = "set attack"
            row["players"] = PLAYERS[index % 4]
        row["size"] = ["wide", "medium", "tight"][index % 3]
        row["angle"] = ["eye", "low"][index % 2]
    write_log(path, header, rows)


def make(tool, folder):
    """footage/, song.wav, job.json, log.csv and a first good cut in out/."""
    footage(os.path.join(folder, "footage"))
    click_track(os.path.join(folder, "song.wav"))
    tool.must("new", "footage", "--music", "song.wav", cwd=folder)
    tag(folder)
    edit_job(os.path.join(folder, "job.json"), shorten)
    tool.must("cut", "job.json", cwd=folder)
