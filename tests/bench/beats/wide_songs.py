# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Packaged songs and loops of the wide set; none of them is among the 60 tracks of tracks.py."""
import glob
import os
import random

import corpus
import smf

RAIL_FOLDER = "/usr/share/games/simutrans/music"  # Debian's simutrans-data
BLUPI_FOLDER = "/usr/share/planetblupi/music"  # planetblupi-music-midi
LOOP_FOLDER = "/usr/share/lmms/samples/beats"  # lmms-common

RAIL_DRAWN, OPEN_DRAWN, GAME_DRAWN = 20, 10, 8
OPEN_SONGS = ("5432gone_redfarn", "careless_perc_redfarn", "chuggachugga", "flying_scotsman", "linns_basket",
              "mighty_giant_run", "no_work_song_redfarn", "run_for_your_life", "say_what_redfarn", "slow_neasy_redfarn",
              "the_fast_route", "train_filled_with_cash", "ttsong_iii_imuh3", "ttsong_iv_imuh3", "tttheme2", "ultimate_run")
BLUPI_SONGS = ("music000", "music001", "music002", "music003")  # the others lie off their own grid
GAME_SONGS = ("COUNTD", "BETWEE", "STLKS2", "THEDA2", "DDTBL2", "ROMERO", "COUNT2", "DDTBL3", "ADRIAN", "MESSG2", "SHAWN3")
WITHOUT = ("53-Where-Thomassons-Lie",)  # 7/16: no beat of equal length
BARS_DOUBTED = ("rail_03",)  # every backbeat on 1 and 3: the file begins a beat early
# Left out of the above after a look at where drums and bass lie on the file's own grid: busy_schedule (all its drums
# repeat after a beat and a half), D_DOOM2 (begins with a quaver, so that drums and tune lie half a beat off), D_AMPIE (snare
# on the first of three), and the music of freedoom that was recorded without a click (under a fifth of its notes on a beat).

# Recorded loops: files of LOOP_FOLDER mixed, and the beats they hold by the count of their common tempo (from memory,
# and borne out by where their onsets lie).
LOOPS = {"ninebeat": (("909beat01",), 8), "break_a": (("break01",), 4), "break_b": (("break02",), 4),
         "break_c": (("break03",), 4), "electro_a": (("electro_beat01",), 8),
         "electro_b": (("electro_beat02",), 4), "house_loop": (("house_loop01",), 4),
         "jungle": (("jungle01",), 8), "rave": (("rave_kick01", "rave_snare01", "rave_hihat01"), 8)}
SONIC_LOOPS = {"loop_mehackit2": 4, "loop_perc1": 4}  # the others have no plain beat, or nobody says how many they hold


def _read(folder, names):
    for name in names:
        with open(os.path.join(folder, name + ".mid"), "rb") as file:
            yield name, file.read()


def packaged(game_folder, seed):
    """(name, Standard MIDI File) of each packaged song."""
    draw = lambda what, names, count: sorted(random.Random(f"{seed}/{what}").sample(sorted(names), count))
    rails = [os.path.basename(p)[:-4] for p in glob.glob(RAIL_FOLDER + "/*.mid")]
    out = [("rail_" + n[:2], d) for n, d in _read(RAIL_FOLDER, draw("rail", [n for n in rails if n not in WITHOUT], RAIL_DRAWN))]
    out += [("open_" + n, d) for n, d in _read(corpus.MUSIC_FOLDER, draw("open", OPEN_SONGS, OPEN_DRAWN))]
    out += [("blupi_" + n[-1], d) for n, d in _read(BLUPI_FOLDER, BLUPI_SONGS)]
    for name in draw("game", GAME_SONGS, GAME_DRAWN):
        out.append(("game2_" + name, corpus.lump(os.path.join(game_folder, "freedoom2.wad"), "D_" + name)))
    return out


def states_bars(name, data):
    return name not in BARS_DOUBTED and bool(smf.Song(data).metres)
