# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""A song with a form, made here: quiet parts and loud ones of eight bars of 4/4, a last hit that rings. Its
beats, parts and the waveform of its kick are known to the sample."""
import numpy as np

RATE = 44100
BPM = 126.0
BEAT_S = 60 / BPM
BAR_S = 4 * BEAT_S
OFFSET_S = 0.4
RING_S = 3.0
PARTS = "qQLqL"  # q, Q quiet (Q builds), L loud
CHORDS = [(50, 57, 62), (46, 53, 58), (53, 60, 65), (48, 55, 60)]  # MIDI numbers, a chord a bar
ARRIVALS_S = [OFFSET_S + 16 * BAR_S, OFFSET_S + 32 * BAR_S]  # the two rises, equally strong


def beats():
    """Instants of all beats, the last hit's included."""
    return [OFFSET_S + k * BEAT_S for k in range(len(PARTS) * 32 + 1)]


def hertz(note):
    return 440 * 2 ** ((note - 69) / 12)


def kick(rate=RATE):
    at = np.arange(int(0.25 * rate)) / rate
    phase = 2 * np.pi * (48 * at + 90 * 0.03 * (1 - np.exp(-at / 0.03)))
    return np.sin(phase) * np.exp(-at / 0.07) * np.minimum(1, at / 0.0008)


def tone(note, seconds, decay_s):
    at = np.arange(int(seconds * RATE)) / RATE
    sound = sum(np.sin(2 * np.pi * hertz(note) * k * at) / k for k in range(1, 7) if hertz(note) * k < 12000)
    return sound * np.exp(-at / decay_s) * np.minimum(1, at / 0.004)


def hat(random):
    at = np.arange(int(0.04 * RATE)) / RATE
    spectrum = np.fft.rfft(random.standard_normal(len(at)))
    spectrum[np.abs(np.fft.rfftfreq(len(at), 1 / RATE) - 8000) > 3500] = 0
    return np.fft.irfft(spectrum, len(at)) * np.exp(-at / 0.012)


def add(track, sound, instant, gain):
    """Lays a sound at an instant to the fraction of a sample."""
    begin = int(np.floor(instant * RATE))
    late = instant * RATE - begin
    padded = np.concatenate([sound, np.zeros(64)])
    turns = np.fft.rfftfreq(len(padded))
    shifted = np.fft.irfft(np.fft.rfft(padded) * np.exp(-2j * np.pi * turns * late), len(padded))
    end = min(begin + len(shifted), len(track))
    track[begin:end] += gain * shifted[:end - begin]


def make():
    """Two channels of samples at RATE, peak 0.8."""
    random = np.random.default_rng(11)
    seconds = OFFSET_S + len(PARTS) * 8 * BAR_S + RING_S
    left, right = np.zeros(int(seconds * RATE)), np.zeros(int(seconds * RATE))
    struck, closed = kick(), hat(random)
    for bar in range(len(PARTS) * 8):
        part, start = PARTS[bar // 8], OFFSET_S + bar * BAR_S
        loud = part == "L"
        for beat in range(4):
            for track in (left, right):
                add(track, struck, start + beat * BEAT_S, 0.9 if loud else 0.5)
                if loud:
                    add(track, closed, start + (beat + 0.5) * BEAT_S, 0.5)
        for track, side in ((left, 0.8), (right, 1.2)):
            for note in CHORDS[bar % 4]:
                add(track, tone(note, BAR_S, 0.9), start, 0.10 * side * (2.2 if loud else 0.6))
            if loud:
                for eighth in range(8):
                    add(track, tone(CHORDS[bar % 4][0] - 12, 0.2, 0.1), start + eighth * BEAT_S / 2, 0.25)
            if part == "Q" and bar % 8 >= 4:
                for eighth in range(8):
                    add(track, closed, start + eighth * BEAT_S / 2, 0.1 + 0.02 * eighth)
    for track in (left, right):
        add(track, struck, OFFSET_S + len(PARTS) * 8 * BAR_S, 0.9)
        for note in CHORDS[0]:
            add(track, tone(note, RING_S, 0.8), OFFSET_S + len(PARTS) * 8 * BAR_S, 0.2)
    out = np.stack([left, right])
    fall = np.linspace(1, 0, RATE // 2)
    out[:, -len(fall):] *= fall
    return 0.8 * out / np.abs(out).max()
