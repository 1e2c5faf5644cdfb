// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/beats/song_cut.h"

#include <algorithm>

namespace downball::beats {

namespace {

// Half a sample of 48 kHz: a border that was rounded to samples still has its beat on the right side.
constexpr double half_sample_s = 0.5 / 48000;

// Where the beats of the cut come from.
struct Heard {
    std::vector<std::size_t> from; // beat of the song
    std::vector<std::size_t> join; // indices in `from` at which a new piece begins
};

Heard heard_beats(const BeatGrid& grid, const SongCut& cut) {
    Heard heard;
    for (const SongPiece& piece : cut.pieces) {
        heard.join.push_back(heard.from.size());
        for (std::size_t i = 0; i < grid.beats.size(); ++i)
            if (grid.beats[i].seconds >= piece.in_s - half_sample_s &&
                grid.beats[i].seconds < piece.out_s - half_sample_s)
                heard.from.push_back(i);
    }
    return heard;
}

// Stretches of the cut that lie in one stretch of the song: `number` says which. A jump that lands inside a
// stretch goes on with the one before it, as it joins like places, unless `apart` keeps the two apart.
template <class Stretch, class Apart>
std::vector<Stretch> carried_over(const std::vector<Stretch>& song, const Heard& heard, Apart apart) {
    std::vector<Stretch> out;
    std::size_t before = song.size();
    for (std::size_t i = 0; i < heard.from.size(); ++i) {
        const std::size_t beat = heard.from[i];
        std::size_t number = 0;
        while (number < song.size() && !(song[number].first <= beat && beat < song[number].last))
            ++number;
        if (number == song.size()) continue;
        const bool join = std::ranges::find(heard.join, i) != heard.join.end();
        const bool lands = song[number].first == beat; // also on the same stretch once more
        if (out.empty() || lands || (number != before && (!join || apart(before, number)))) {
            out.push_back(song[number]);
            out.back().first = i;
        }
        out.back().last = i + 1;
        before = number;
    }
    return out;
}

double mean_energy(const BeatGrid& grid, std::size_t first, std::size_t last) {
    double sum = 0;
    for (std::size_t i = first; i < last; ++i)
        sum += grid.beats[i].energy;
    return sum / static_cast<double>(std::max<std::size_t>(1, last - first));
}

} // namespace

BeatGrid cut_grid(const BeatGrid& grid, const SongCut& cut) {
    const Heard heard = heard_beats(grid, cut);
    BeatGrid out = grid;
    out.beats.clear();
    out.textures.clear();
    out.arrival.reset();
    out.duration_s = cut.length_s() + cut.silence_s;

    double begun_s = 0;
    std::size_t next = 0;
    for (std::size_t p = 0; p < cut.pieces.size(); ++p) {
        const std::size_t end = p + 1 < heard.join.size() ? heard.join[p + 1] : heard.from.size();
        for (; next < end; ++next) {
            Beat beat = grid.beats[heard.from[next]];
            beat.seconds += begun_s - cut.pieces[p].in_s;
            out.beats.push_back(beat);
            if (grid.textures.size() == grid.beats.size())
                out.textures.push_back(grid.textures[heard.from[next]]);
            if (grid.arrival == heard.from[next] && !out.arrival) out.arrival = next;
        }
        begun_s += cut.pieces[p].out_s - cut.pieces[p].in_s;
    }
    if (!out.arrival) out.arrival_confidence = 0;

    out.sections = carried_over(grid.sections, heard, [](std::size_t, std::size_t) { return true; });
    for (Section& section : out.sections)
        section.energy = mean_energy(out, section.first, section.last);
    out.phrases = carried_over(grid.phrases, heard, [](std::size_t, std::size_t) { return false; });
    return out;
}

} // namespace downball::beats
