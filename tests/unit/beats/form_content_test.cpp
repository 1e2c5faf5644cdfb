// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Form from what stands on the beats, without any sound.
#include "beats/form.h"
#include "support/catch.h"

using namespace downball;
using namespace downball::beats;

namespace {

struct Made {
    BeatContent content;
    BeatGrid grid;
};

// A beat each half second; `db(i)`: level of beat i. The bar's beats are counted from `first_downbeat` on.
template <class Level>
Made make(std::size_t beats, int per_bar, std::size_t first_downbeat, Level db) {
    Made out;
    out.grid.beats_per_bar = per_bar;
    out.grid.downbeat_confidence = per_bar > 0 ? 0.9 : 0;
    for (std::size_t i = 0; i < beats; ++i) {
        Beat beat{0.5 * static_cast<double>(i)};
        const auto bar = static_cast<std::size_t>(per_bar);
        if (per_bar > 0) beat.position = static_cast<int>((i + bar - first_downbeat % bar) % bar) + 1;
        out.grid.beats.push_back(beat);
        auto& c = out.content;
        for (auto* strength : {&c.low, &c.mid, &c.presence, &c.high})
            strength->push_back(1);
        for (auto* level : {&c.bass_db, &c.lufs})
            level->push_back(db(i));
        c.colour_db.push_back({db(i), db(i)});
        c.chord.push_back(std::vector<double>(12, 0.2887));
    }
    return out;
}

double loud_from_bar_16(std::size_t beat) {
    return beat < 64 ? -24 : -10;
}

} // namespace

TEST_CASE("Without bars there are sections and an arrival but no phrases", "[beats][form]") {
    Made m = make(160, 0, 0, loud_from_bar_16);
    add_form(m.content, m.grid);
    CHECK(m.grid.phrases.empty());
    CHECK(m.grid.bars_per_phrase == 0);
    CHECK(m.grid.phrase_confidence == 0);
    REQUIRE(m.grid.sections.size() == 2);
    CHECK(m.grid.sections[1].first == 64);
    CHECK(m.grid.arrival == 64u);
}

TEST_CASE("The upbeat belongs to the first phrase", "[beats][form]") {
    Made m = make(162, 4, 2, [](std::size_t i) { return loud_from_bar_16(i - 2 * (i >= 2)); });
    add_form(m.content, m.grid);
    REQUIRE(m.grid.phrases.size() > 1);
    CHECK(m.grid.phrases[0].first == 0);
    for (std::size_t p = 1; p < m.grid.phrases.size(); ++p)
        CHECK(m.grid.beats[m.grid.phrases[p].first].position == 1);
    REQUIRE(m.grid.arrival);
    CHECK(*m.grid.arrival == 66);
}

TEST_CASE("Sections have four bars at least", "[beats][form]") {
    // Up and down every two bars, after eight calm ones.
    Made m = make(160, 4, 0, [](std::size_t i) { return i >= 32 && i / 8 % 2 == 0 ? -8.0 : -24.0; });
    add_form(m.content, m.grid);
    for (const Section& s : m.grid.sections)
        CHECK(s.last - s.first >= 16);
}

TEST_CASE("A handful of beats is one section", "[beats][form]") {
    for (std::size_t beats : {1u, 2u, 3u, 5u, 9u}) {
        Made m = make(beats, 4, 0, loud_from_bar_16);
        add_form(m.content, m.grid);
        REQUIRE(m.grid.sections.size() == 1);
        CHECK(m.grid.sections[0].last == beats);
        CHECK(m.grid.phrases.back().last == beats);
        CHECK(!m.grid.arrival);
    }
    BeatGrid none;
    add_form({}, none);
    CHECK(none.sections.empty());
}

TEST_CASE("Silence all through is one section on one level", "[beats][form]") {
    Made m = make(64, 4, 0, [](std::size_t) { return -120.0; });
    add_form(m.content, m.grid);
    CHECK(m.grid.sections.size() == 1);
    CHECK(!m.grid.arrival);
    for (const Beat& b : m.grid.beats)
        CHECK((b.energy >= 0 && b.energy <= 1));
}
