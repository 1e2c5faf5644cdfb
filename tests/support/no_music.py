# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Sounds that hold no beat: wind, surf, noise, speech, hits at random instants. One channel at sound_bank.RATE, RMS or peak
well under full scale."""
import numpy as np
from scipy.signal import lfilter

import small_day
import sound_bank
from sound_bank import RATE


def _shaped(random, seconds, slope):
    """Noise whose power falls with `slope` powers of frequency above 20 Hz: 0 white, 1 pink, 2 brown."""
    count = int(round(seconds * RATE))
    hertz = np.maximum(np.fft.rfftfreq(count, 1 / RATE), 20.0)
    noise = np.fft.irfft(np.fft.rfft(random.standard_normal(count)) / hertz ** (slope / 2), count)
    return 0.1 * noise / np.sqrt(np.mean(noise ** 2))


def white(random, seconds):
    return _shaped(random, seconds, 0)


def pink(random, seconds):
    return _shaped(random, seconds, 1)


def wind_and_surf(random, seconds):
    """Gusts of a second or so, each of its own strength, on the low side of the surf."""
    rumble = _shaped(random, seconds, 2)
    at, gusts = np.arange(len(rumble)) / RATE, np.full(len(rumble), 0.2)
    for begin in np.cumsum(random.exponential(1.3, int(seconds))):
        gusts += random.uniform(0.2, 2) * np.exp(-0.5 * ((at - begin) / random.uniform(0.1, 0.6)) ** 2)
    return sound_bank.surf(random, seconds, 0.05) + rumble * gusts


def speech(random, seconds):
    """Syllables of random length: a pulse train of gliding pitch through three formants, between them hisses and pauses."""
    out, at = np.zeros(int(round(seconds * RATE))), int(random.uniform(0, 0.3) * RATE)
    pitch = random.uniform(90, 200)
    while at < len(out):
        length = int(RATE * np.clip(random.lognormal(np.log(0.17), 0.4), 0.06, 0.5))
        since = np.arange(length) / length
        glide = pitch * (1 + random.uniform(-0.2, 0.2) * since + random.uniform(-0.1, 0.1))
        turns = np.cumsum(glide) / RATE
        source = np.diff(np.floor(turns), prepend=0.0) + 0.02 * random.standard_normal(length)
        formants = random.uniform([270, 850, 2200], [800, 2200, 3000]), (70, 100, 150)
        voiced = sum(_resonance(source, *formant) / (1 + 2 * i) for i, formant in enumerate(zip(*formants)))
        shape = np.minimum(1, since / random.uniform(0.05, 0.3)) * np.minimum(1, (1 - since) / 0.4)
        _lay(out, at, 0.5 * random.uniform(0.4, 1) * shape * voiced / (1e-9 + np.max(np.abs(voiced))))
        if random.random() < 0.4:  # s, t, sh
            hiss = np.diff(random.standard_normal(int(RATE * random.uniform(0.03, 0.12))))
            _lay(out, at - len(hiss), 0.05 * hiss * np.hanning(len(hiss)))
        at += length + int(RATE * random.uniform(0, 0.06))
        if random.random() < 0.15:
            at += int(RATE * random.exponential(0.4))
            pitch = random.uniform(90, 200)
    return out + _shaped(random, seconds, 1) * 0.02


def _resonance(x, hertz, width):
    radius = np.exp(-np.pi * width / RATE)
    return lfilter([1 - radius], [1, -2 * radius * np.cos(2 * np.pi * hertz / RATE), radius ** 2], x)


def _lay(out, at, sound):
    begin = max(0, at)
    sound = sound[begin - at:][:max(0, len(out) - begin)]
    out[begin:begin + len(sound)] += sound


def _hits(random, seconds, gap_s, sound):
    out = _shaped(random, seconds, 1) * 0.03
    at = random.exponential(gap_s)
    while at < seconds:
        _lay(out, int(at * RATE), sound())
        at += random.exponential(gap_s)
    return out


def random_hits(random, seconds):
    """A Poisson process of struck balls, each a little different and of its own strength."""
    return _hits(random, seconds, 0.45, lambda: random.uniform(0.15, 0.8) * small_day.thump(random))


def equal_hits(random, seconds):
    """A Poisson process of one and the same hit: only the instants are random."""
    one = 0.6 * small_day.thump(random)
    return _hits(random, seconds, 0.4, lambda: one)


def applause(random, seconds):
    """Many hands, none in time with another."""
    def clap():
        since = np.arange(RATE // 30) / RATE
        return random.uniform(0.02, 0.2) * random.standard_normal(len(since)) * np.exp(-since / 0.006)
    return _hits(random, seconds, 0.025, clap)


def beach(random, seconds):
    """A clip that was taken for the song: surf, speech near by, a ball now and then."""
    return wind_and_surf(random, seconds) + 0.4 * speech(random, seconds) + 0.6 * _hits(
        random, seconds, 1.5, lambda: small_day.thump(random))


KINDS = {"white noise": white, "pink noise": pink, "wind and surf": wind_and_surf, "speech": speech,
         "random hits": random_hits, "equal hits at random": equal_hits, "applause": applause, "beach": beach}
