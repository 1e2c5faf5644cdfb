// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// Analyses with every member set, of random values, and their comparison bit for bit.
#include "support/dice.h"

#include "downball/analysis/found.h"
#include "downball/model/beat_grid.h"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <string>
#include <vector>

namespace downball::test {

// Digits to the last, and signs, tiny ones and whole numbers among them.
inline double any_number(Dice& dice) {
    switch (dice.whole(0, 4)) {
    case 0:
        return dice.whole(-1000, 1000);
    case 1:
        return dice.between(-1e-9, 1e-9);
    case 2:
        return -0.0;
    default:
        return dice.between(-5000, 5000);
    }
}

inline double any_share(Dice& dice) {
    return dice.whole(0, 5) == 0 ? dice.whole(0, 1) : dice.unit();
}

inline std::string any_text(Dice& dice) {
    static const std::vector<std::string> pieces{"clip", "\"", "\\",   "\n", "\t", "\x01",
                                                 "ä",    "球", "🏐", "",   " "};
    std::string text;
    for (int n = dice.whole(0, 6); n > 0; --n)
        text += pieces[static_cast<std::size_t>(dice.whole(0, static_cast<int>(pieces.size()) - 1))];
    return text;
}

inline std::vector<double> any_numbers(Dice& dice, int most) {
    std::vector<double> numbers(static_cast<std::size_t>(dice.whole(0, most)));
    std::ranges::generate(numbers, [&] { return any_number(dice); });
    return numbers;
}

inline MediaInfo any_media(Dice& dice) {
    MediaInfo media;
    media.id = "0123456789abcdef";
    media.bytes = dice.next() >> 1;
    media.duration_s = dice.between(0, 5000);
    media.has_video = dice.whole(0, 1) == 1;
    media.variable_rate = dice.whole(0, 1) == 1;
    if (!media.variable_rate) media.rate = media.frames.constant = Rate(30000, 1001);
    media.average_fps = dice.between(0, 240);
    media.frames.shown_s = any_numbers(dice, 50);
    media.frames.off_s = dice.between(0, 0.01);
    media.width = dice.whole(0, 8000);
    media.height = dice.whole(0, 8000);
    media.rotation = 90 * dice.whole(0, 3);
    if (dice.whole(0, 2) > 0)
        media.start = StartTimecode{"01:02:03;04", Frame{dice.whole(0, 2'000'000)}, Rate(30000, 1001),
                                    dice.whole(0, 1) == 1 ? Counting::drop : Counting::non_drop};
    if (dice.whole(0, 2) > 0)
        media.audio =
            AudioInfo{dice.whole(8000, 192000), dice.whole(1, 8), any_number(dice), any_number(dice)};
    if (dice.whole(0, 1) == 1) media.created = any_text(dice);
    if (dice.whole(0, 1) == 1) media.time_of_day_s = dice.between(0, 86400);
    media.device = any_text(dice);
    media.card_reel = any_text(dice);
    return media;
}

inline analysis::ClipFound any_clip(Dice& dice) {
    analysis::ClipFound clip{any_media(dice), {}, dice.whole(0, 3) == 0 ? any_text(dice) : ""};
    if (dice.whole(0, 3) == 0) return clip;
    clip.hearing.emplace();
    for (int n = dice.whole(0, 40); n > 0; --n)
        clip.hearing->contacts.push_back(
            {any_number(dice), any_share(dice), any_share(dice), any_share(dice), dice.whole(-1, 20)});
    clip.hearing->crowd = any_share(dice);
    for (int n = dice.whole(0, 3); n > 0; --n)
        clip.hearing->notes.push_back(any_text(dice));
    return clip;
}

inline BeatTexture any_texture(Dice& dice) {
    BeatTexture texture;
    for (auto& tone : texture.tone)
        tone = static_cast<float>(dice.unit());
    for (auto& level : texture.level)
        level = static_cast<float>(dice.unit());
    return texture;
}

inline BeatGrid any_grid(Dice& dice) {
    BeatGrid grid;
    double at_s = any_number(dice);
    const auto beats = static_cast<std::size_t>(dice.whole(0, 60));
    const bool textured = dice.whole(0, 1) == 1;
    for (std::size_t k = 0; k < beats; ++k) {
        at_s += dice.between(0.2, 1.5);
        grid.beats.push_back({at_s, dice.whole(0, 4), any_share(dice), any_share(dice), any_share(dice),
                              dice.between(-120, 3)});
        if (textured) grid.textures.push_back(any_texture(dice));
    }
    grid.duration_s = dice.between(0, 600);
    grid.tempo_bpm = dice.between(20, 400);
    for (int n = dice.whole(0, 3); n > 0; --n)
        grid.other_tempi.push_back({dice.between(20, 400), any_share(dice)});
    grid.beats_per_bar = dice.whole(0, 6);
    grid.division = dice.whole(0, 1) == 1 ? dice.whole(2, 3) : 0;
    grid.steady = dice.whole(0, 1) == 1;
    grid.residual_s = dice.between(0, 0.1);
    grid.confidence = any_share(dice);
    grid.downbeat_confidence = any_share(dice);
    grid.loudness_lufs = dice.between(-120, 0);
    grid.sections.push_back({0, beats, any_share(dice), any_share(dice)});
    grid.phrases.push_back({beats / 2, beats});
    grid.bars_per_phrase = 8 * dice.whole(0, 4);
    grid.phrase_confidence = any_share(dice);
    if (beats > 0 && dice.whole(0, 1) == 1) grid.arrival = beats - 1;
    grid.arrival_confidence = any_share(dice);
    return grid;
}

// As integers, so that 0.0 and -0.0 differ.
inline std::uint64_t bits(double number) {
    return std::bit_cast<std::uint64_t>(number);
}

inline std::vector<std::uint64_t> bits(const std::vector<double>& numbers) {
    std::vector<std::uint64_t> all;
    for (const double number : numbers)
        all.push_back(bits(number));
    return all;
}

} // namespace downball::test
