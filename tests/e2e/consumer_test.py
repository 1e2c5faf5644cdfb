# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The installed package serves a project that is not ours: it is found, linked, and finds the beats of a click track."""
import math
import pathlib
import random
import struct
import subprocess
import sys
import tempfile
import wave

HERE = pathlib.Path(__file__).resolve().parent
BUILD = pathlib.Path(sys.argv[1]).resolve()


def click_track(path, bpm=120, seconds=20, rate=44100):
    noise = random.Random(1)
    samples = [0.0] * (seconds * rate)
    for beat in range(int(seconds * bpm / 60)):
        start = round(beat * 60 / bpm * rate)
        for i in range(min(2000, len(samples) - start)):
            samples[start + i] = math.exp(-i / 300) * noise.uniform(-0.8, 0.8)
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(b"".join(struct.pack("<h", int(32767 * s)) for s in samples))


def run(*command):
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{command} gave {done.returncode}\n{done.stdout}{done.stderr}")
    return done.stdout


with tempfile.TemporaryDirectory() as folder:
    folder = pathlib.Path(folder)
    run("cmake", "--install", BUILD, "--prefix", folder / "installed")
    run("cmake", "-G", "Ninja", "-S", HERE.parent / "consumer", "-B", folder / "build",
        f"-DCMAKE_PREFIX_PATH={folder / 'installed'}")
    run("cmake", "--build", folder / "build")
    click_track(folder / "clicks.wav")
    said = run(folder / "build" / "consumer", folder / "clicks.wav")
    print(said, end="")
    assert "at 120." in said or "at 119.9" in said, said
    assert run(folder / "installed" / "bin" / "downball", "--version").startswith("downball 0.1.0")
