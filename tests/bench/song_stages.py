# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Part `song`: the beats of a song, beside another tracker and beside decoding alone."""
import measured

SONG_S = 180


def measure(bench):
    song = bench.song()
    makers = {"beats": lambda: measured.run([bench.downball, "beats", song], cores="0"),
              "decode": lambda: measured.run(["ffmpeg", "-nostdin", "-v", "error", "-i", song, "-f", "null", "-"], cores="0")}
    if bench.has("peer_qm"):
        makers["peer"] = lambda: measured.run([bench.program("peer_qm"), song], cores="0")
    found = measured.interleaved(makers)
    bench.table.row("beats of a song, 1 core", found["beats"], material_s=SONG_S, floor=found["decode"],
                    of="ffmpeg decoding the song")
    if "peer" in found:
        bench.table.row("  beside QM-DSP", found["beats"], material_s=SONG_S, floor=found["peer"], of="peer_qm, the same song")
        bench.table.row("  QM-DSP itself", found["peer"], material_s=SONG_S, floor=found["decode"], of="ffmpeg decoding the song")
