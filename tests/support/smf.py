# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Standard MIDI File (format 0 and 1) to note and beat instants, as far as a tempo truth needs it."""
import struct


class Song:
    """Tempo map, metre and notes of one file; instants in seconds from tick 0."""

    def __init__(self, data):
        if data[:4] != b"MThd":
            raise ValueError("no Standard MIDI File: it does not begin with MThd")
        length, _, tracks, division = struct.unpack(">IHHH", data[4:14])
        if division & 0x8000:
            raise ValueError("the file counts SMPTE frames, not ticks a quarter; it has no beats")
        self.ticks_a_quarter = division
        self.tempi = {}  # tick -> microseconds a quarter
        self.metres = {}  # tick -> (beats, unit)
        self.markers = {}  # tick -> text
        self.notes = []  # (tick, channel 0-15, key, velocity)
        self.last_tick = 0
        at = 8 + length
        for _ in range(tracks):
            if data[at:at + 4] != b"MTrk":
                raise ValueError(f"no track where one was promised, at byte {at}")
            size = struct.unpack(">I", data[at + 4:at + 8])[0]
            self._read_track(data[at + 8:at + 8 + size])
            at += 8 + size
        self.tempi.setdefault(0, 500000)  # 120 a minute where the file says nothing
        self.notes.sort()

    def _read_track(self, data):
        at, tick, status = 0, 0, 0
        while at < len(data):
            delta, at = _variable_length(data, at)
            tick += delta
            if data[at] & 0x80:
                status = data[at]
                at += 1
            if status == 0xFF:
                kind = data[at]
                size, at = _variable_length(data, at + 1)
                body = data[at:at + size]
                at += size
                if kind == 0x51:
                    self.tempi[tick] = int.from_bytes(body, "big")
                elif kind == 0x06:
                    self.markers.setdefault(tick, body.decode("latin-1").strip())
                elif kind == 0x58:
                    self.metres[tick] = (body[0], 1 << body[1])
            elif status in (0xF0, 0xF7):
                size, at = _variable_length(data, at)
                at += size
            else:
                one_byte = status & 0xF0 in (0xC0, 0xD0)
                if status & 0xF0 == 0x90 and data[at + 1] > 0:
                    self.notes.append((tick, status & 0x0F, data[at], data[at + 1]))
                at += 1 if one_byte else 2
            self.last_tick = max(self.last_tick, tick)

    def seconds(self, tick):
        total, since, tempo = 0.0, 0, self.tempi[0]
        for change in sorted(self.tempi):
            if change >= tick:
                break
            total += (change - since) * tempo / self.ticks_a_quarter
            since, tempo = change, self.tempi[change]
        return (total + (tick - since) * tempo / self.ticks_a_quarter) / 1e6

    def beats(self):
        """Instant of every quarter from tick 0 to the last event."""
        return [self.seconds(tick) for tick in range(0, self.last_tick + 1, self.ticks_a_quarter)]

    def duration(self):
        return self.seconds(self.last_tick)


def _variable_length(data, at):
    value = 0
    while True:
        value = value << 7 | data[at] & 0x7F
        at += 1
        if not data[at - 1] & 0x80:
            return value, at


def read(path):
    with open(path, "rb") as file:
        return Song(file.read())


def write_one_note(path, quarter, channel, key, velocity, tempo_us=500000):
    """A format 0 file with a single short note struck at the given quarter: calibrates a synthesiser."""
    def packed(value):
        out = [value & 0x7F]
        while value := value >> 7:
            out.insert(0, value & 0x7F | 0x80)
        return bytes(out)

    track = b"\0\xff\x51\x03" + tempo_us.to_bytes(3, "big")
    track += packed(480 * quarter) + bytes([0x90 | channel, key, velocity])
    track += packed(480) + bytes([0x80 | channel, key, 0])
    track += b"\0\xff\x2f\0"
    with open(path, "wb") as file:
        file.write(b"MThd" + struct.pack(">IHHH", 6, 0, 1, 480) + b"MTrk" + struct.pack(">I", len(track)) + track)
