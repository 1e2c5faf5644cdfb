# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""MIDI events at instants in seconds, written and played without a tempo map.

fluidsynth rounds its clock to a block of 64 samples at each tempo change; 60 changes would shift the song by some 40 ms.
So every song is rewritten at one tempo with ticks of 0.05 ms before it is played. The truth comes from the map itself.
"""
import struct
import subprocess

import smf

SOUND_FONT = "/usr/share/sounds/sf2/FluidR3_GM.sf2"
TICKS_A_SECOND = 20000
KEYS = {"kick": 36, "snare": 38, "clap": 39, "hat": 42, "open": 46, "ride": 51, "rim": 37, "crash": 49, "shaker": 70,
        "conga": 63}
PROGRAMS = {"bass": (0, 33), "pad": (1, 48), "stab": (2, 4), "keys": (3, 0), "lead": (4, 73)}  # channel, program


def of_song(data):
    """Every channel event of a Standard MIDI File as (seconds, order, bytes), by the file's own tempo map."""
    song = smf.Song(data)
    out, at, order, seconds = [], 8 + struct.unpack(">I", data[4:8])[0], 0, {}
    for _ in range(struct.unpack(">H", data[10:12])[0]):
        end = at + 8 + struct.unpack(">I", data[at + 4:at + 8])[0]
        at, tick, status = at + 8, 0, 0
        while at < end:
            delta, at = smf._variable_length(data, at)
            tick += delta
            if data[at] & 0x80:
                status = data[at]
                at += 1
            if status in (0xFF, 0xF0, 0xF7):
                size, at = smf._variable_length(data, at + (status == 0xFF))
                at += size
                continue
            size = 1 if status & 0xF0 in (0xC0, 0xD0) else 2
            if tick not in seconds:
                seconds[tick] = song.seconds(tick)
            out.append((seconds[tick], order, bytes([status]) + data[at:at + size]))
            order += 1
            at += size
        at = end
    return out


def of_score(score):
    out = [(0.0, i, bytes([0xC0 | channel, program])) for i, (channel, program) in enumerate(PROGRAMS.values())]
    for note in score.notes:
        channel, key = (9, KEYS[note.voice]) if note.voice in KEYS else (PROGRAMS[note.voice][0], note.pitch)
        out.append((note.at_s, 1, bytes([0x90 | channel, key, max(1, min(127, note.velocity))])))
        out.append((note.at_s + note.length_s, 0, bytes([0x80 | channel, key, 0])))
    return out


def play(events, end_s, midi_path, wav_path, rate_hz=44100, font=SOUND_FONT, room=False):
    """Notes that begin before `end_s`, by fluidsynth; reverberation and chorus are off, so that a note's instant stays
    sharp, unless a `room` is asked for."""
    track, last = b"\0\xff\x51\x03" + (500000).to_bytes(3, "big"), 0
    for seconds, _, body in sorted(events, key=lambda e: (e[0], e[1])):
        if seconds >= end_s and body[0] & 0xF0 == 0x90 and body[2] > 0:
            continue
        tick = round(min(seconds, end_s + 1) * TICKS_A_SECOND)
        delta, packed = tick - last, []
        while not packed or delta:
            packed.insert(0, delta & 0x7F | (0x80 if packed else 0))
            delta >>= 7
        track, last = track + bytes(packed) + body, tick
    track += b"\0\xff\x2f\0"
    with open(midi_path, "wb") as file:
        file.write(b"MThd" + struct.pack(">IHHH", 6, 0, 1, TICKS_A_SECOND // 2) + b"MTrk" + struct.pack(">I", len(track)) + track)
    subprocess.run(["fluidsynth", "-ni", "-R", str(int(room)), "-C", "0", "-g", "0.5", "-r", str(rate_hz), "-F", wav_path, font,
                    midi_path], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
