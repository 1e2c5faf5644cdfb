# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Good songs in bad shape keep their beats: clipped, on one channel, inverted, at 8 and 192 kHz, in six channels, in a minute of
silence, in an mp3 that breaks off. And files that are no song are refused.

Truth: the score a song is synthesised from, exact to the sample. Tolerances, over the beats that the file still holds: F of
beats at 20 ms (mir_eval) 0.97, F of downbeats 0.95, median within 3 ms, and sure of it. Resampled to 8 kHz 5 ms, an mp3 10 ms.
"""
import os
import subprocess
import sys
import warnings

import numpy as np
from mir_eval import beat

TESTS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
sys.path[:0] = [os.path.join(TESTS, "support"), os.path.join(TESTS, "bench", "beats")]
import own_songs  # noqa: E402
import own_synth  # noqa: E402
import sound_bank  # noqa: E402
from run_tool import Checks, Tool, Workplace  # noqa: E402
from spoilt_jobs import ADVICE, CRASH  # noqa: E402

RATE = 48000
HANG_S = 120
SONGS = {"house": ("house", 122, 16), "rock": ("rock", 112, 16)}  # tempi at which the bench plays neither


class Songs:
    def __init__(self, tool, checks, folder):
        self.tool, self.checks, self.folder = tool, checks, folder

    def path(self, name):
        return os.path.join(self.folder, name)

    def right(self, case, name, truth, within_ms=3, end_s=1e9):
        """The beats of the file are those of the truth as far as `end_s`."""
        done = self.tool("beats", self.path(name), timeout=HANG_S)
        rows = [line.split("\t") for line in done.stdout.splitlines()]
        found = np.array([float(row[0]) for row in rows])
        self.last_s = found[-1] if len(found) else 0
        ones = np.array([float(row[0]) for row in rows if row[1] == "1"])
        beats = np.array([t for t, _ in truth if t < end_s])
        downs = np.array([t for t, position in truth if position == 1 and t < end_s])
        last = min(beats[-1] + 0.07, end_s)  # what is told of the ring-out is held against nobody
        found, ones = found[found <= last], ones[ones <= last]
        f20, down = beat.f_measure(beats, found, 0.020), beat.f_measure(downs, ones)
        near = [found[np.argmin(np.abs(found - t))] - t for t in beats] if len(found) else [9.0]
        offset_ms = 1e3 * float(np.median(near))
        print(f"{case:36} exit {done.returncode}  F20 {f20:.3f}  downbeats {down:.3f}  offset {offset_ms:+.1f} ms  "
              f"{done.stderr.strip()}")
        that = self.checks.that
        that(done.returncode == 0 and "low confidence" not in done.stderr,
             f"{case}: exit {done.returncode}, {done.stderr.strip()}")
        that(f20 >= 0.97, f"{case}: F at 20 ms {f20:.3f}, expected 0.97")
        that(down >= 0.95, f"{case}: F of downbeats {down:.3f}, expected 0.95")
        that(abs(offset_ms) <= within_ms, f"{case}: median offset {offset_ms:+.1f} ms, expected {within_ms}")

    def refused(self, case, name):
        done = self.tool("beats", self.path(name), timeout=HANG_S)
        print(f"-- {case}: exit {done.returncode}, {done.stderr.strip()}")
        self.checks.that(done.returncode == 3 and not done.stdout and not CRASH.search(done.stderr),
                         f"{case}: exit {done.returncode}, expected 3; {done.stderr.strip()}")
        self.checks.that(name in done.stderr and ADVICE.search(done.stderr), f"{case}: the message names no file or no remedy")


def ffmpeg(*words):
    subprocess.run(["ffmpeg", "-v", "error", "-nostdin", "-y", *map(str, words)], check=True)


def shapes(songs, name, stereo, truth):
    mono, silent = stereo.mean(axis=0), np.zeros(stereo.shape[1])
    for case, channels in (
            ("as it is", stereo), ("clipped by 18 dB", np.clip(8 * stereo, -1, 1)), ("20 dB down", 0.1 * stereo),
            ("left alone", [mono, silent]), ("right alone", [silent, mono]), ("right inverted", [mono, -mono]),
            ("on a constant", stereo / 4 + 0.5), ("six channels", [0.3 * stereo[0], 0.3 * stereo[1], silent, 0.05 * mono,
                                                                   -0.2 * stereo[1], 0.2 * stereo[0]])):
        sound_bank.write_wav(songs.path("song.wav"), np.array(channels), RATE)
        songs.right(f"{name}, {case}", "song.wav", truth)


def rates(songs, name, stereo, truth):
    sound_bank.write_wav(songs.path("song.wav"), stereo, RATE)
    for rate, within_ms in ((8000, 5), (192000, 3)):
        ffmpeg("-i", songs.path("song.wav"), "-ar", rate, "-c:a", "pcm_s16le", songs.path("other.wav"))
        songs.right(f"{name}, {rate} Hz", "other.wav", truth, within_ms)


def silences(songs, name, stereo, truth):
    for lead_s in (60, 60.00737):  # the second is no multiple of anything
        lead = round(lead_s * RATE)
        samples = np.concatenate([np.zeros((2, lead)), stereo], axis=1)
        sound_bank.write_wav(songs.path("song.wav"), samples, RATE)
        songs.right(f"{name}, behind {lead_s} s of silence", "song.wav", [(t + lead / RATE, p) for t, p in truth])
    sound_bank.write_wav(songs.path("song.wav"), np.concatenate([stereo, np.zeros((2, 60 * RATE))], axis=1), RATE)
    songs.right(f"{name}, before 60 s of silence", "song.wav", truth)
    songs.checks.that(songs.last_s < stereo.shape[1] / RATE, f"{name}: a beat in the silence, at {songs.last_s:.2f} s")


def broken_off(songs, name, stereo, truth):
    sound_bank.write_wav(songs.path("song.wav"), stereo, RATE)
    ffmpeg("-i", songs.path("song.wav"), "-c:a", "libmp3lame", "-b:a", "128k", songs.path("whole.mp3"))
    with open(songs.path("whole.mp3"), "rb") as file:
        data = file.read()
    whole_s = stereo.shape[1] / RATE
    for share in (0.7, 0.4):
        with open(songs.path("cut.mp3"), "wb") as file:
            file.write(data[:int(share * len(data)) + 100])  # within a frame
        songs.right(f"{name}, mp3 broken off at {share:.0%}", "cut.mp3", truth, 10, share * whole_s - 0.1)
    with open(songs.path("cut.mp3"), "wb") as file:
        file.write(data[:int(len(data) * 1.2 / whole_s)])
    songs.refused(f"{name}, mp3 broken off after 1.2 s", "cut.mp3")


def no_songs(songs):
    text = "This is a shopping list: bread, sun cream, a new ball.\n" * 200
    for name, data in (("list.wav", text.encode()), ("head.wav", b"RIFF\x24\0\0\0WAVEfmt "), ("zeros.mp3", bytes(5000)),
                       ("noise.wav", np.random.default_rng(5).bytes(20000)), ("empty.wav", b"")):
        with open(songs.path(name), "wb") as file:
            file.write(data)
        songs.refused(name, name)
    ffmpeg("-f", "lavfi", "-i", "testsrc2=size=64x36:rate=25:duration=5", "-c:v", "libx264", songs.path("mute.mp4"))
    songs.refused("a film without sound", "mute.mp4")
    samples = np.zeros(5 * RATE, "<f4")
    samples[3 * RATE] = np.nan
    samples.tofile(songs.path("raw"))
    ffmpeg("-f", "f32le", "-ar", RATE, "-ac", 1, "-i", songs.path("raw"), "-c:a", "pcm_f32le", songs.path("nan.wav"))
    songs.refused("a sample that is no number", "nan.wav")


def main():
    warnings.filterwarnings("ignore", "(Estimated|Reference) beats are empty")  # that is what the scores then say
    tool, checks = Tool(sys.argv[1]), Checks()
    with Workplace("odd-songs") as folder:
        songs = Songs(tool, checks, folder)
        no_songs(songs)
        for name, (style, bpm, bars) in SONGS.items():
            score = own_songs.write(style, bpm, bars, 4, lead_s=0.3)
            stereo = own_synth.render(score, RATE, 4).T
            for part in (shapes, rates, silences, broken_off):
                part(songs, name, stereo, score.beats)
    checks.finish()


if __name__ == "__main__":
    main()
