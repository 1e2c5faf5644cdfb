// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/media/sound_parts.h"

using namespace downball;
using namespace downball::test;

TEST_CASE("parts of a file's sound are its own samples, overlapping, and silence beside it") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 48000, 2);
    const auto whole = read_sound(folder / "c.wav").channels;
    const auto last = static_cast<std::int64_t>(whole[0].size());
    auto reader = media::AudioReader::open(folder / "c.wav");
    REQUIRE(reader);
    std::vector<media::SoundPart> parts{
        {-100, 30000, 1}, {24000, 20000, 1}, {last - 50, 100, 1}, {last + 10, 5, 1}, {7, 0, 1}};
    std::vector<double> reports;
    const LongWork work{[&](double done) { reports.push_back(done); }, {}};
    REQUIRE(media::read_parts(*reader, 48000, parts, work));
    for (const auto& part : parts) {
        REQUIRE(part.channels.size() == 1);
        REQUIRE(part.channels[0].size() == static_cast<std::size_t>(part.length));
        std::int64_t wrong = 0;
        for (std::int64_t i = 0; i < part.length; ++i) {
            const auto at = part.first + i;
            const float wanted = at >= 0 && at < last ? whole[0][static_cast<std::size_t>(at)] : 0.0f;
            wrong += part.channels[0][static_cast<std::size_t>(i)] != wanted;
        }
        CHECK(wrong == 0);
    }
    REQUIRE_FALSE(reports.empty());
    CHECK(std::is_sorted(reports.begin(), reports.end()));
    CHECK(reports.back() <= 1);
}
