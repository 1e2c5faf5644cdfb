# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Drum and bass patterns as Standard MIDI Files whose tempo map is the truth; rendering by fluidsynth."""
import random
import struct
import subprocess

SOUND_FONT = "/usr/share/sounds/sf2/FluidR3_GM.sf2"
TICKS = 480  # a quarter
KEYS = {"kick": 36, "snare": 38, "clap": 39, "hat": 42, "open": 46, "ride": 51, "rim": 37, "tom": 45, "crash": 49,
        "shaker": 82, "conga": 63, "cowbell": 56}

# A step a character: x struck, X accented, o soft. `beats` quarters a bar; the number of steps gives the grid.
PATTERNS = {
    "four_on_the_floor": dict(beats=4, kick="x...x...x...x...", clap="....x.......x...", open="..x...x...x...x.",
                              hat="x.x.x.x.x.x.x.x.", bass="..x...x...x...x.", chords=1),
    "backbeat": dict(beats=4, kick="x.......x.x.....", snare="....X.......X...", hat="x.x.x.x.x.x.x.x.",
                     bass="x...x...x...x...", chords=1),
    "rock_eighths": dict(beats=4, kick="x...........x.x.....x...........", snare="........X...............X.......",
                         hat="x...x...x...x...x...x...x...x...", bass="x...x...x...x...x...x...x...x...", chords=1),
    "breakbeat": dict(beats=4, kick="x.x.......x.....", snare="....X..o.o..X..o", ride="x.x.x.x.x.x.x.x.",
                      bass="x.....x...x.....", chords=2),
    "hip_hop_swing": dict(beats=4, kick="x......x..x.....", snare="....X.......X...", hat="x.x.x.x.x.x.x.x.",
                          bass="x......x..x.....", chords=2, swing=0.58),
    "half_time": dict(beats=4, kick="x.....x.........", snare="........X.......", hat="x.x.x.x.x.x.x.x.",
                      bass="x.....x.........", chords=1),
    "waltz": dict(beats=3, kick="x...........", snare="....o...o...", hat="x...x...x...", bass="x...........", chords=1),
    "shuffle": dict(beats=4, kick="x.....x.....", snare="...X.....X..", ride="x.xx.xx.xx.x", bass="x..x..x..x..", chords=1),
    "dembow": dict(beats=4, kick="x...x...x...x...", snare="...x..x....x..x.", hat="x.x.x.x.x.x.x.x.", bass="x.....x.x.....x.",
                   chords=1),
    "samba": dict(beats=2, kick="x..xX..x", shaker="xoXxxoXx", rim="x.x..x.x", bass="x..xx..x", chords=1),
    "one_drop": dict(beats=4, kick="........x.......", rim="........x.......", hat="x.x.x.x.x.x.x.x.",
                     bass="x...x.x.....x...", stabs="....x.......x...", chords=1),
    "ballad": dict(beats=4, kick="x.......x.......", snare="....x.......x...", hat="x.x.x.x.x.x.x.x.", bass="x.......x.....x.",
                   chords=1),
}
ROOTS = [45, 41, 48, 43]  # A F C G


class Writer:
    def __init__(self):
        self.events = []  # (tick, order, bytes)

    def note(self, tick, channel, key, velocity, ticks):
        self.events.append((int(tick), 1, bytes([0x90 | channel, key, velocity])))
        self.events.append((int(tick + ticks), 0, bytes([0x80 | channel, key, 0])))

    def tempo(self, tick, bpm):
        self.events.append((int(tick), -1, b"\xff\x51\x03" + round(60e6 / bpm).to_bytes(3, "big")))

    def program(self, channel, program):
        self.events.append((0, -1, bytes([0xC0 | channel, program])))

    def bytes(self):
        track, last = b"", 0
        for tick, _, body in sorted(self.events, key=lambda e: (e[0], e[1])):
            track += _packed(tick - last) + body
            last = tick
        track += b"\0\xff\x2f\0"
        return (b"MThd" + struct.pack(">IHHH", 6, 0, 1, TICKS) + b"MTrk" + struct.pack(">I", len(track)) + track)


def _packed(value):
    out = [value & 0x7F]
    while value := value >> 7:
        out.insert(0, value & 0x7F | 0x80)
    return bytes(out)


def song(name, bpm, bars, seed=1, drumless=(), lead_bars=0, tempo_at=None, jitter_s=0.0):
    """SMF bytes, beat instants and downbeat instants of `bars` bars of a pattern.

    `drumless`: (from, to) bars played by bass and chords alone; `lead_bars`: empty bars before the first;
    `tempo_at(bar)`: BPM of that bar in place of `bpm`; `jitter_s`: standard deviation of each note's instant.
    """
    pattern = PATTERNS[name]
    out, rng = Writer(), random.Random(seed)
    out.program(0, 33)
    out.program(1, 4)
    beats, downbeats, now, last_tempo = [], [], 0.0, None
    for bar in range(-lead_bars, bars):
        start = (bar + lead_bars) * pattern["beats"] * TICKS
        tempo = tempo_at(bar) if tempo_at else bpm
        if not last_tempo or tempo != last_tempo:
            out.tempo(start, tempo)  # only where it changes: the synthesiser rounds its clock at each
        last_tempo = tempo
        exact = 60e6 / round(60e6 / tempo)  # the file holds whole microseconds a quarter
        for beat in range(pattern["beats"]):
            if bar >= 0:
                beats.append(now)
                if beat == 0:
                    downbeats.append(now)
            now += 60 / exact
        if bar >= 0:
            _bar(out, pattern, bar, start, exact, rng, jitter_s, drumless and drumless[0] <= bar < drumless[1])
    return out.bytes(), beats, downbeats


def _bar(out, pattern, bar, start, bpm, rng, jitter_s, drumless):
    jitter = lambda: rng.gauss(0, jitter_s) * bpm / 60 * TICKS
    root = ROOTS[bar // pattern["chords"] % 4]
    for part, steps in pattern.items():
        if not isinstance(steps, str) or (drumless and part in KEYS):
            continue
        step = pattern["beats"] * TICKS / len(steps)
        for i, sign in enumerate(steps):
            if sign == ".":
                continue
            tick = start + i * step
            if pattern.get("swing") and i % 2:
                tick += (2 * pattern["swing"] - 1) * step
            tick = max(0, tick + jitter())
            velocity = {"X": 118, "x": 100, "o": 50}[sign] + rng.randint(-6, 6)
            if part == "bass":
                out.note(tick, 0, root - 12 + (7 if i and rng.random() < 0.2 else 0), velocity - 10, step * 1.6)
            elif part == "stabs":
                for third in (12, 16, 19):
                    out.note(tick, 1, root + third, 80, step)
            else:
                out.note(tick, 9, KEYS[part], velocity, step)
    if bar % pattern["chords"] == 0 and "stabs" not in pattern:
        for third in (12, 16, 19):
            out.note(max(0, start + jitter()), 1, root + third, 60, pattern["beats"] * TICKS * pattern["chords"] * 0.95)
    if bar % 8 == 0 and not drumless:
        out.note(start, 9, KEYS["crash"], 90, TICKS)


def render(smf_path, wav_path, rate_hz=44100):
    """By fluidsynth, reverberation and chorus off so that a note's instant stays sharp."""
    subprocess.run(["fluidsynth", "-ni", "-R", "0", "-C", "0", "-g", "0.6", "-r", str(rate_hz), "-F", wav_path, SOUND_FONT,
                    smf_path], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
