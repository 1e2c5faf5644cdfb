# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""A wider set for development alone: grooves, drummers, packaged songs, loops, plain beats. Nothing of it is set aside."""
import os
import random

import numpy as np
import scipy.io.wavfile

import corpus
import flat_midi
import own_synth
import smf
import wide_drummers
import wide_grooves
import wide_human
import wide_kit
import wide_plain
import wide_songs
from corpus import RATE_HZ, Track

SEED = 20260318
FONTS = {"fluid": flat_midi.SOUND_FONT, "tim": "/usr/share/sounds/sf2/TimGM6mb.sf2",
         "muse": "/usr/share/sounds/sf3/MuseScore_General_Lite.sf3"}
KITS = ("GMRockKit", "TR808EmulationKit")
SECONDS = 50
CODED = 0.27  # share of tracks that are coded
PLAYED = 0.37  # share of grooves played by a human-like hand
SOURCES = corpus.SOURCES + ("wide.py", "wide_drummers.py", "wide_grooves.py", "wide_human.py", "wide_kit.py", "wide_songs.py")
FAMILIES = ("groove", "played", "drums", "drummer", "song", "hydrogen", "loop", "plain")


def _any(name):
    return random.Random(f"{SEED}/{name}")


def tracks(game_folder):
    out = []
    for only_drums, drawn, without in ((False, wide_grooves.DRAWN, ()), (True, wide_grooves.DRAWN_DRUMS, wide_grooves.NO_DRUMS)):
        for groove in wide_grooves.draw(SEED, drawn, without):
            name = f"{'drums_' if only_drums else ''}{groove.style}_{groove.file}"
            hand = wide_human.draw(name, SEED) if _any(name + "/played").random() < PLAYED else None
            family = "drums" if only_drums else "played" if hand else "groove"
            out.append(Track(name, family, {"groove": groove, "hand": hand, "only_drums": only_drums}, not hand))
    for style, part in wide_drummers.DRUMMERS.items():
        for i, kit in enumerate(("GMRockKit" if style != "half_hats" else "TR808EmulationKit", None)):
            name = f"drummer_{style}_{'kit' if kit else 'font'}"
            bpm = round(_any(name).uniform(*part["tempi"]), 1)
            hand = wide_human.draw(name, SEED)
            out.append(Track(name, "drummer", {"drummer": style, "bpm": bpm, "kit": kit, "hand": hand}, False))
    for name, data in wide_songs.packaged(game_folder, SEED):
        bars_known, steady = wide_songs.states_bars(name, data), len(set(smf.Song(data).tempi.values())) == 1
        out.append(Track(name, "song", {"data": data, "bars_known": bars_known}, steady))
    for name in ("GM_kit_Jazzy", "GM_kit_demo1", "GM_kit_demo2", "GM_kit_demo3", "TR808kit-demo"):
        out.append(Track("hydrogen_" + name, "hydrogen", {"song": name, "kit": KITS["TR808" in name]}, True))
    for name, (files, beats) in wide_songs.LOOPS.items():
        paths = [f"{wide_songs.LOOP_FOLDER}/{f}.ogg" for f in files]
        out.append(Track("loop_" + name, "loop", {"paths": paths, "beats": beats}, False))
    for name, beats in wide_songs.SONIC_LOOPS.items():
        out.append(Track(name, "loop", {"paths": [f"{corpus.LOOP_FOLDER}/{name}.flac"], "beats": beats}, False))
    for t in out:
        rng = _any(t.name + "/sound")
        if t.family != "loop":
            t.source["lead_s"] = rng.choice((0, 0, round(rng.uniform(0.2, 3), 3)))
            if not t.source.get("kit"):
                t.source["font"] = rng.choice(("fluid", "fluid", "fluid", "tim", "tim", "muse"))
                t.source["room"] = rng.random() < 0.3
        if rng.random() < CODED:
            t.source["codec"] = rng.choice([c for c in corpus.CODECS if "_" in c])
    return out + [Track(name, "plain", {"score": score}, steady) for name, score, steady in wide_plain.scores(SEED)]


def delays_s(folder):
    """How late each sound font and each kit is, measured."""
    out = {name: corpus.font_delay_s(folder, path) for name, path in FONTS.items()}
    return out | {name: wide_kit.Kit(name, RATE_HZ).delay_s() for name in KITS}


def make(track, folder, delays):
    files = wide_plain.SOURCES if track.family == "plain" else SOURCES
    corpus.make(track, folder, delays.get(track.source.get("kit") or track.source.get("font"), 0.0), _render, files)


def _render(track, stem, delay_s):
    source = track.source
    if "paths" in source:
        return _repeat(source, track.wav)
    if "score" in source:
        score = source["score"]
        corpus.write_wav(track.wav, own_synth.render(score, RATE_HZ, wide_plain.NOISE_SEED), 0, score.end_s)
        return score.beats
    if "groove" in source:
        events, beats, end_s = _groove(source, stem)
    elif "drummer" in source:
        events, beats, end_s = wide_drummers.play(source["drummer"], source["bpm"], SECONDS, source["hand"], SEED)
    elif "song" in source:
        events, beats, end_s = wide_kit.song(source["song"], SECONDS)
    else:
        beats, end_s = corpus.beats_of_map(source["data"], SECONDS)
        events = flat_midi.of_song(source["data"])
    lead_s = source["lead_s"]
    events = [(t + lead_s, order, body) for t, order, body in events]
    if source.get("kit"):
        samples = wide_kit.Kit(source["kit"], RATE_HZ).render(events, end_s + lead_s)
        corpus.write_wav(track.wav, samples, 0, end_s)
    else:
        flat_midi.play(events, end_s + lead_s, stem + ".mid", track.wav, font=FONTS[source["font"]], room=source["room"])
        corpus.cut(track.wav, end_s + lead_s + 2, 0)
    return [(float(t) + lead_s + delay_s, p) for t, p in beats]


def _groove(source, stem):
    groove, hand = source["groove"], source["hand"]
    data = wide_grooves.midi(groove, stem, SECONDS, SEED)
    events, tempi = flat_midi.of_song(data), smf.Song(data).tempi
    if len(tempi) != 1:
        raise SystemExit(f"{groove.file}: the groove changes the tempo, its truth would be wrong")
    beat_s = tempi[0] / 1e6 * groove.beat_quarters
    grid = np.arange(int(SECONDS / beat_s) + 8) * beat_s
    if hand:
        events, grid = wide_human.play(events, 60 / beat_s, SECONDS, hand, SEED)
    if source["only_drums"]:
        events = [e for e in events if e[2][0] & 0x0F == 9]
    last_s = max(t for t, _, body in events if body[0] & 0xF0 == 0x90 and body[2] > 0)
    a_bar = round(wide_grooves.bar_quarters(groove) / groove.beat_quarters)
    return events, [(t, i % a_bar + 1) for i, t in enumerate(grid) if t <= last_s], last_s + 0.05


def _repeat(source, path):
    """Loops mixed and set end to start without a gap, as long as a track; each begins on a beat."""
    layers = []
    for file in source["paths"]:
        corpus.ffmpeg("-i", file, "-ac", "2", "-ar", str(RATE_HZ), "-c:a", "pcm_s16le", path)
        layers.append(scipy.io.wavfile.read(path)[1] / 32768)
    length = len(layers[0])
    one = np.zeros((length, 2))
    for layer in layers:
        one[:min(length, len(layer))] += layer[:length]
    times = max(2, int(SECONDS * RATE_HZ / length))
    corpus.write_wav(path, np.tile(0.9 * one / np.abs(one).max(), (times, 1)), 0, SECONDS)
    period = length / RATE_HZ / source["beats"]
    return [(i * period, i % 4 + 1) for i in range(times * source["beats"])]
