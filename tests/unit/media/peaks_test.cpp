// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/media/peaks.h"

using namespace downball;
using namespace downball::test;
using media::PeakBins;

TEST_CASE("each part of a stretch has its largest magnitude") {
    PeakBins bins(10, 5);
    for (int n = -2; n < 13; ++n)
        bins.add(n, n < 0 || n > 9 ? 9 : n % 2 == 0 ? 0.1 : -0.1 * n);
    CHECK(bins.take() == std::vector<float>{0.1f, 0.3f, 0.5f, 0.7f, 0.9f});
}

TEST_CASE("a stretch without samples, or without parts, has no peaks") {
    PeakBins empty(0, 3);
    for (const double at : {-1.0, 0.0, 0.5})
        empty.add(at, 1);
    CHECK(empty.take() == std::vector<float>{0, 0, 0});
    PeakBins none(10, 0);
    none.add(3, 1);
    CHECK(none.take().empty());
}

TEST_CASE("peaks of a song lie where its clicks do, from wherever they are asked for") {
    const TempFolder folder;
    const auto path = folder / "clicks.wav";
    write_clicks(path, 48000, 2);
    const auto song = must_probe(path);
    for (const double from_s : {0.0, 0.4, -0.3, 1.1}) {
        INFO(from_s);
        const auto peaks = media::song_peaks(song, from_s, from_s + 2, 200); // 10 ms each
        REQUIRE(peaks);
        REQUIRE(peaks->size() == 200);
        for (std::size_t n = 0; n < 200; ++n) {
            const double in_s = from_s + 0.01 * static_cast<double>(n);
            const bool clicks = std::ranges::any_of(
                click_instants, [&](double at) { return at > in_s - 0.002 && at < in_s + 0.012; });
            const bool inside = std::ranges::any_of(
                click_instants, [&](double at) { return at > in_s + 1e-9 && at < in_s + 0.01 - 1e-9; });
            CAPTURE(in_s);
            if (inside) CHECK((*peaks)[n] == Approx(0.8).epsilon(0.01));
            if (!clicks) CHECK((*peaks)[n] < 1e-3f);
        }
    }
    const auto empty = media::song_peaks(song, 1, 1, 4);
    REQUIRE(empty);
    CHECK(*empty == std::vector<float>(4, 0));
}

TEST_CASE("peaks of a song that is not there, or that nobody waits for, are an error") {
    const TempFolder folder;
    MediaInfo song;
    song.path = folder / "gone.wav";
    CHECK_FALSE(media::song_peaks(song, 0, 1, 4));
    write_clicks(song.path, 48000, 1);
    std::stop_source stop;
    stop.request_stop();
    const auto peaks = media::song_peaks(song, 0, 1, 4, {{}, stop.get_token()});
    REQUIRE_FALSE(peaks);
    CHECK(peaks.error().fault == Fault::interrupted);
}
