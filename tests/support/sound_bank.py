# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Sounds from files as sample arrays, their onsets, and beds to lay them into."""
import io
import os
import subprocess
import wave

import numpy as np

RATE = 48000


def decode(path, rate=None):
    """All channels mixed to one, as floats, at the file's own rate or resampled; and the rate."""
    if rate is None:
        shown = subprocess.run(["ffprobe", "-v", "error", "-select_streams", "a:0", "-show_entries",
                                "stream=sample_rate", "-of", "csv=p=0", path],
                               capture_output=True, text=True, check=True)
        rate = int(shown.stdout.strip().rstrip(","))
    raw = subprocess.run(["ffmpeg", "-v", "error", "-i", path, "-map", "0:a:0", "-ac", "1", "-ar", str(rate),
                          "-f", "f32le", "-"], capture_output=True, check=True).stdout
    return np.frombuffer(raw, "<f4").astype(float), rate


def onset_s(samples, rate, below_peak_db=30.0):
    """Where a recorded hit begins: its first sample above a level under its own peak."""
    level = np.abs(samples)
    return float(np.argmax(level > level.max() * 10 ** (-below_peak_db / 20))) / rate


class Hit:
    """A recorded hit, resampled to RATE; `onset` is measured on the file as it came."""

    def __init__(self, path):
        self.name = os.path.basename(path)
        original, rate = decode(path)
        self.onset = onset_s(original, rate)
        samples, _ = decode(path, RATE)
        begin = int(round(self.onset * RATE))
        loud = samples[begin:begin + RATE // 50]
        self.samples = samples / np.sqrt(np.mean(loud ** 2))  # RMS 1 in the 20 ms after the onset

    def lay(self, bed, instant, rms):
        """Adds the hit so that its onset falls on the instant, at that RMS in its first 20 ms."""
        begin = int(round((instant - self.onset) * RATE))
        end = min(begin + len(self.samples), len(bed))
        bed[begin:end] += rms * self.samples[:end - begin]


def surf(random, seconds, rms):
    """Noise falling 3 dB an octave above 40 Hz, swelling every few seconds like waves on a beach."""
    count = int(round(seconds * RATE))
    spectrum = np.fft.rfft(random.standard_normal(count))
    hertz = np.fft.rfftfreq(count, 1 / RATE)
    noise = np.fft.irfft(spectrum / np.sqrt(np.maximum(hertz, 40.0)), count)
    at = np.arange(count) / RATE
    swell = 1 + 0.5 * np.sin(2 * np.pi * (at / random.uniform(4, 8) + random.uniform(0, 1)))
    noise *= swell
    return noise * rms / np.sqrt(np.mean(noise ** 2))


def looped(samples, random, seconds, rms):
    """A recorded bed of the wanted length, from a random place on."""
    count = int(round(seconds * RATE))
    begin = int(random.integers(len(samples)))
    out = np.take(samples, np.arange(begin, begin + count), mode="wrap")
    return out * rms / np.sqrt(np.mean(out ** 2))


def write_wav(path, samples, rate=RATE):
    """16-bit PCM; one row a channel, or a single channel."""
    channels = np.atleast_2d(samples)
    whole = np.clip(np.round(channels.T * 32767), -32768, 32767).astype("<i2")
    buffer = io.BytesIO()
    with wave.open(buffer, "wb") as file:
        file.setnchannels(channels.shape[0])
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(whole.tobytes())
    with open(path, "wb") as file:
        file.write(buffer.getvalue())


def write_clip(path, samples, fps, timecode=None, size="160x90", audio=True):
    """A short film with a test picture: AAC in .mp4, PCM in .mov, by the name's ending."""
    sound = path + ".wav"
    seconds = np.atleast_2d(samples).shape[1] / RATE
    write_wav(sound, samples)
    picture = f"testsrc2=size={size}:rate={fps}:duration={seconds:.6f}"
    command = ["ffmpeg", "-v", "error", "-y", "-f", "lavfi", "-i", picture]
    if audio:
        command += ["-i", sound, "-map", "0:v", "-map", "1:a"]
        command += ["-c:a", "pcm_s16le"] if path.endswith(".mov") else ["-c:a", "aac", "-b:a", "128k"]
    command += ["-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-threads", "1"]
    if timecode:
        command += ["-timecode", timecode]
    subprocess.run([*command, path], check=True, capture_output=True)
    os.remove(sound)
