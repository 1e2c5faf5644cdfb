# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""What the bench plays. `by`: synth = own oscillators, exact to the sample; font = fluidsynth with a General MIDI font."""


def ramp(slow, fast):
    return lambda beat, beats: slow + (fast - slow) * beat / beats


def step(first, second, share=0.5):
    return lambda beat, beats: first if beat < share * beats else second


class Tempo:
    """A tempo curve that prints itself, so that the cache can tell one from another."""

    def __init__(self, text, curve):
        self.text, self.curve = text, curve

    def __call__(self, beat, beats):
        return self.curve(beat, beats)

    def __repr__(self):
        return self.text


def _song(style, bpm, bars, by, **how):
    return dict(style=style, bpm=bpm, bars=bars, by=by, **how)


PATTERNS = {
    "house_128": _song("house", 128, 36, "synth"),
    "house_124_mp3": _song("house", 124, 36, "font", codec="mp3", drumless=(16, 22)),
    "house_long": _song("house", 123.457, 94, "synth"),
    "house_drumless_16": _song("house", 126, 48, "synth", drumless=(16, 32)),
    "break_170": _song("break", 170, 44, "synth"),
    "break_136_opus": _song("break", 136, 34, "font", codec="opus"),
    "hip_hop_88": _song("hip_hop", 88, 24, "font"),
    "hip_hop_94_played": _song("hip_hop", 94, 24, "synth", drift=0.006, feel_s=0.007, lag_s=0.010),
    "dembow_96": _song("dembow", 96, 26, "synth"),
    "dembow_91_aac": _song("dembow", 91, 24, "font", codec="aac"),
    "samba_104": _song("samba", 104, 56, "font"),
    "samba_118_played": _song("samba", 118, 60, "synth", drift=0.006, feel_s=0.006),
    "six_eight_70": _song("six_eight", 70, 36, "synth"),
    "six_eight_92_font": _song("six_eight", 92, 44, "font"),
    "slow_six_56": _song("slow_six", 56, 28, "font"),
    "waltz_168": _song("waltz", 168, 52, "synth"),
    "waltz_96_played": _song("waltz", 96, 32, "font", drift=0.01, feel_s=0.008),
    "half_time_140": _song("half_time", 140, 36, "synth"),
    "half_time_150_font": _song("half_time", 150, 38, "font"),
    "rock_played_118": _song("rock", 118, 32, "font", drift=0.012, feel_s=0.008, lag_s=0.006),
    "rock_played_146": _song("rock", 146, 40, "synth", drift=0.012, feel_s=0.008, lag_s=0.006),
    "funk_played_102": _song("funk", 102, 28, "synth", drift=0.010, feel_s=0.006, lag_s=0.008),
    "rock_ramp": _song("rock", 96, 32, "font", tempo=Tempo("ramp 96 132", ramp(96, 132))),
    "house_step": _song("house", 100, 32, "synth", tempo=Tempo("step 104 126", step(104, 126))),
    "funk_slowing": _song("funk", 120, 30, "font", tempo=Tempo("ramp 122 104", ramp(122, 104)), feel_s=0.005),
    "rock_late": _song("rock", 112, 26, "font", lead_s=7.3, sparse_intro=False),
    "two_step_fade": _song("two_step", 132, 34, "font", fade_s=18.0),
    "blues_112": _song("blues", 112, 28, "font"),
    "ballad_66": _song("ballad", 66, 18, "font"),
    "piano_108": _song("piano", 108, 26, "font"),
    "strings_132": _song("strings_in_three", 132, 40, "synth"),
}

# Debian's openttd-openmsx: name and seconds used.
MUSIC_SONGS = {
    "boogi_marabi_redfarn": 75, "be_sharp_bw_redfarn": 80, "chemistry_lab": 60, "city_blues_redfarn": 60, "coconut_run2": 60,
    "harp_harmony": 65, "keep_on_rolling": 190, "midnight_snow_run": 90, "modern_motion": 60, "moo_redfarn": 60,
    "mosey_along_redfarn": 60, "relax_song": 60, "wood_whistles": 60, "the_hobo_redfarn": 60,
}

# Music entries of Debian's freedoom, phase 1.
GAME_SONGS = {"D_E1M1": 60, "D_E1M3": 60, "D_E1M8": 70, "D_E2M3": 60, "D_E2M5": 60, "D_E2M8": 60, "D_INTER": 60}

# Debian's sonic-pi-samples: beats a loop holds, by the count of its common tempo.
LOOPS = {"loop_amen": 4, "loop_amen_full": 16, "loop_breakbeat": 4, "loop_compus": 16, "loop_electric": 4, "loop_mehackit1": 4,
         "loop_mika": 16, "loop_safari": 16}
