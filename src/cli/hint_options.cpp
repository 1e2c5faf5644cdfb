// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/hint_options.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace downball::cli {

struct HintOptions::Words {
    SongHints said;
    bool half = false;
    bool twice = false;
};

HintOptions::HintOptions(CLI::App& command) : words_(std::make_unique<Words>()) {
    auto& w = *words_;
    command.add_option("--bpm", w.said.bpm, "The song's tempo in beats a minute, to within 4 % [by ear]");
    command.add_flag("--half", w.half, "Count half as fast as would be found by ear");
    command.add_flag("--double", w.twice, "Count twice as fast as would be found by ear");
    command.add_option("--beat-one", w.said.beat_one_s,
                       "A second of the song at which a bar begins [by ear]");
    command.add_option("--metre", w.said.beats_per_bar, "Beats a bar: 2, 3, 4 or 6 [by ear]");
}

HintOptions::~HintOptions() = default;

Result<SongHints> HintOptions::read() const {
    const auto refuse = [](std::string what) { return Error{Fault::usage, std::move(what), ""}; };
    const auto& said = words_->said;
    if (said.bpm && !(*said.bpm >= slowest_hint_bpm && *said.bpm <= fastest_hint_bpm)) // nan is refused too
        return refuse(fmt::format("--bpm: found {}, expected beats a minute from {} to {}", *said.bpm,
                                  slowest_hint_bpm, fastest_hint_bpm));
    if (said.beat_one_s && !(*said.beat_one_s >= 0 && std::isfinite(*said.beat_one_s)))
        return refuse(
            fmt::format("--beat-one: found {}, expected seconds of the song, from 0 up", *said.beat_one_s));
    static constexpr std::array metres{2, 3, 4, 6};
    if (said.beats_per_bar && std::ranges::count(metres, *said.beats_per_bar) == 0)
        return refuse(
            fmt::format("--metre: found {}, expected 2, 3, 4 or 6 beats a bar", *said.beats_per_bar));
    if (words_->half && words_->twice)
        return refuse("--half and --double contradict each other; give one of them");
    const auto* level = words_->half ? "--half" : words_->twice ? "--double" : nullptr;
    if (level && said.bpm)
        return refuse(fmt::format(
            "--bpm and {} contradict each other, for --bpm says the tempo outright; give one of them",
            level));
    auto hints = said;
    if (level) hints.tempo = words_->half ? TempoHint::half : TempoHint::twice;
    return hints;
}

} // namespace downball::cli
