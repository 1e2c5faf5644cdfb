# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Drum events to samples by the recorded kits of Debian's hydrogen-data, and that package's own songs."""
import os
import subprocess
import xml.etree.ElementTree as tree

import numpy as np

DATA = "/usr/share/hydrogen/data"
TICKS_A_QUARTER = 48
# Our key for an instrument name of either kit.
NAMES = {"Kick": 36, "Kick Long": 36, "Kick Short": 35, "Stick": 37, "Clave": 37, "Snare": 38, "Snare 1": 38, "Snare 2": 40,
         "Snare Rimshot": 40, "Hand Clap": 39, "Clap": 39, "Hat Closed": 42, "Closed Hat": 42, "Hat Pedal": 44, "Pedal Hat": 44,
         "Hat Open": 46, "Open Hat": 46, "Hat Semi-Open": 45, "Ride": 51, "Ride 2": 59, "Bell": 53, "Crash": 49, "Cymbal": 49,
         "Splash": 55, "Floor Tom": 41, "Tom Low": 41, "Tom 2": 47, "Tom Mid": 47, "Tom 1": 50, "Tom Hi": 50, "Cowbell": 56,
         "Conga": 63, "Shaker": 70}
CHOKES = {42: 46, 44: 46}  # a closed hat ends the open one


class Kit:
    def __init__(self, name, rate_hz):
        self.rate_hz, self.layers, self.sounds = rate_hz, {}, {}
        folder = os.path.join(DATA, "drumkits", name)
        for instrument in tree.parse(os.path.join(folder, "drumkit.xml")).iter():
            if not instrument.tag.endswith("}instrument"):
                continue
            get = lambda node, tag: next(e.text for e in node.iter() if e.tag.endswith("}" + tag))
            key = NAMES.get(get(instrument, "name"))
            layers = [(float(get(l, "max")), os.path.join(folder, get(l, "filename")))
                      for l in instrument.iter() if l.tag.endswith("}layer")]
            if key and layers:
                self.layers[key] = (sorted(layers), float(get(instrument, "volume")), float(get(instrument, "pan")))

    def sound(self, key, velocity):
        layers, volume, pan = self.layers[key]
        path = next((p for top, p in layers if velocity / 127 <= top), layers[-1][1])
        if path not in self.sounds:
            raw = subprocess.run(["ffmpeg", "-v", "error", "-i", path, "-f", "f32le", "-ac", "2", "-ar", str(self.rate_hz), "-"],
                                 check=True, stdout=subprocess.PIPE).stdout
            self.sounds[path] = np.frombuffer(raw, np.float32).reshape(-1, 2)
        return self.sounds[path] * volume * (velocity / 127) * np.array([min(1, 1 - pan), min(1, 1 + pan)])

    def delay_s(self):
        """Median over kick, snare and closed hat of where a sample passes 1 % of its peak."""
        first = lambda x: float(np.argmax(np.abs(x).max(axis=1) > 0.01 * np.abs(x).max())) / self.rate_hz
        return float(np.median([first(self.sound(key, v)) for key in (36, 38, 42) for v in (60, 90, 110, 120)]))

    def render(self, events, end_s):
        out = np.zeros((int((end_s + 3) * self.rate_hz), 2))
        struck = sorted((t, body[1], body[2]) for t, _, body in events
                        if body[0] == 0x99 and body[2] > 0 and body[1] in self.layers)
        for t, key, velocity in struck:
            sound, at = self.sound(key, velocity), round(t * self.rate_hz)
            ends = [u for u, other, _ in struck if key == 46 and t < u < t + 3 and CHOKES.get(other) == 46]
            if ends:
                sound = sound[:round((ends[0] - t) * self.rate_hz) + 400] * 1.0
                sound[-400:] *= np.linspace(1, 0, len(sound[-400:]))[:, None]
            sound = sound[:max(0, len(out) - at)]
            out[at:at + len(sound)] += sound
        return 0.9 * out[:round((end_s + 2) * self.rate_hz)] / max(1e-9, np.abs(out).max())


def song(name, seconds):
    """A packaged song as events, beats and end: its patterns in order, each cut as long as it says, 4/4."""
    top = tree.parse(os.path.join(DATA, "demo_songs", name + ".h2song")).getroot()
    for node in top.iter():
        node.tag = node.tag.split("}")[-1]
    quarter = 60 / float(top.findtext("bpm"))
    keys = {i.findtext("id"): NAMES.get(i.findtext("name")) for i in top.iter("instrument")}
    patterns = {p.findtext("name"): p for p in top.iter("pattern")}
    out, beats, bar_s = [], [], 0.0
    while bar_s < seconds:
        for group in top.find("patternSequence").iter("group"):
            played = [patterns[i.text] for i in group.iter("patternID") if i.text in patterns]
            if bar_s >= seconds or not played:
                continue
            size = max(int(p.findtext("size")) for p in played)
            for note in (n for p in played for n in p.iter("note") if keys.get(n.findtext("instrument"))):
                at = bar_s + int(note.findtext("position")) * quarter / TICKS_A_QUARTER
                loud = max(1, round(127 * float(note.findtext("velocity"))))
                out.append((at, 1, bytes([0x99, keys[note.findtext("instrument")], loud])))
            beats += [(bar_s + i * quarter, i % 4 + 1) for i in range(size // TICKS_A_QUARTER)]
            bar_s += size * quarter / TICKS_A_QUARTER
    last = max(t for t, _, _ in out)
    return out, [(t, p) for t, p in beats if t <= last], last + 0.05
