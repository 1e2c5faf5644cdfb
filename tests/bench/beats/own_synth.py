# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""A score to samples, each note at its exact sample: oscillators, noise and envelopes, nothing recorded."""
import numpy as np

GAIN = {"kick": 0.9, "snare": 0.55, "clap": 0.45, "hat": 0.16, "open": 0.2, "ride": 0.14, "rim": 0.35, "shaker": 0.14,
        "conga": 0.4, "crash": 0.2, "bass": 0.4, "pad": 0.1, "stab": 0.14, "keys": 0.2, "lead": 0.25}
PAN = {"hat": 0.3, "open": 0.3, "ride": -0.35, "shaker": -0.3, "conga": 0.4, "rim": -0.2, "stab": -0.4, "keys": 0.35,
       "lead": -0.15, "crash": -0.3}


def render(score, rate_hz, seed, tail_s=2.0):
    """Stereo float samples, loudest sample at 0.9."""
    noise = np.random.default_rng(seed).standard_normal(rate_hz * 2)
    out = np.zeros((int((score.end_s + tail_s) * rate_hz), 2))
    cache = {}
    for note in score.notes:
        key = (note.voice, note.pitch, round(note.length_s, 3))
        if key not in cache:
            cache[key] = _voice(note, rate_hz, noise)
        sound = cache[key] * GAIN[note.voice] * (note.velocity / 110) ** 1.6
        at = round(note.at_s * rate_hz)
        sound = sound[:max(0, len(out) - at)]
        pan = PAN.get(note.voice, 0)
        out[at:at + len(sound), 0] += sound * min(1, 1 - pan)
        out[at:at + len(sound), 1] += sound * min(1, 1 + pan)
    return 0.9 * out / max(1e-9, np.max(np.abs(out)))


def _highpass(x, times):
    for _ in range(times):
        x = np.diff(x, prepend=0.0) * 0.6
    return x


def _voice(note, rate, noise):
    time = lambda seconds: np.arange(int(seconds * rate)) / rate
    burst = lambda t, decay: noise[:len(t)] * np.exp(-t / decay)
    v = note.voice
    if v == "kick":
        t = time(0.32)
        return np.sin(2 * np.pi * (48 * t + 110 * 0.025 * (1 - np.exp(-t / 0.025)))) * np.exp(-t / 0.09) + \
            0.25 * burst(t, 0.003)
    if v == "snare":
        t = time(0.25)
        return 0.6 * np.sin(2 * np.pi * 188 * t) * np.exp(-t / 0.045) + 0.5 * _highpass(burst(t, 0.07), 1)
    if v == "clap":  # hands never meet at once: three bursts within 20 ms
        t = time(0.2)
        return sum(_highpass(burst(t, 0.05 if d else 0.008), 1) * (t >= 0) if d == 0 else
                   np.concatenate([np.zeros(int(d * rate)), _highpass(burst(t, 0.05), 1)])[:len(t)] for d in (0, 0.009, 0.018)) * 0.5
    if v in ("hat", "shaker", "ride", "open", "crash"):
        length, decay = {"hat": (0.08, 0.018), "shaker": (0.09, 0.03), "ride": (0.5, 0.12), "open": (0.3, 0.1),
                         "crash": (1.6, 0.5)}[v]
        t = time(length)
        ring = np.sin(2 * np.pi * 5230 * t) * np.exp(-t / decay) if v == "ride" else 0
        rise = 1 - np.exp(-t / 0.006) if v == "shaker" else 1
        return _highpass(burst(t, decay), 2) * rise + 0.4 * ring
    if v in ("rim", "conga"):
        t = time(0.2)
        hz, decay = (1720, 0.012) if v == "rim" else (262, 0.06)
        return np.sin(2 * np.pi * hz * t) * np.exp(-t / decay) + 0.2 * burst(t, 0.002)
    t = time(note.length_s + 0.25)
    hz = 440 * 2 ** ((note.pitch - 69) / 12)
    attack, decay, partials = {"bass": (0.004, 0.6, 5), "pad": (0.05, 4, 4), "stab": (0.003, 0.18, 6), "keys": (0.003, 0.5, 6),
                               "lead": (0.012, 1.2, 4)}[v]
    held = np.minimum(1, t / attack) * np.exp(-t / decay) * np.clip((note.length_s + 0.25 - t) / 0.25, 0, 1)
    return held * sum(np.sin(2 * np.pi * hz * k * t) / k ** 1.4 for k in range(1, partials + 1) if k * hz < 0.45 * rate)
