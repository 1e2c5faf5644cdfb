// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/counter_clips.h"

#include "downball/dsp/loudness.h"
#include "downball/media/picture_reader.h"
#include "downball/media/probe.h"
#include "downball/preview/preview.h"

#include <filesystem>

using namespace downball;
using namespace downball::test;

namespace {

// A reel of 4 s at 25: 1 s of black, 2 s of a clip of 50 from its second 0.5 on, 1 s of it at half its speed; a song.
struct Reel {
    TempFolder folder;
    Timeline timeline;

    explicit Reel(const std::string& song = "-f lavfi -i \"sine=f=440:d=4:r=44100,volume=-6dB\" -ac 1",
                  const std::string& clip_sound = "-f lavfi -i anullsrc=d=4:r=48000:cl=mono") {
        ffmpeg(song + " " + (folder / "song.wav"));
        ffmpeg(clip_sound + " " + counter("50", 4) +
               "-map 1:v -map 0:a -r 50 -c:v libx264 -preset veryfast -bf 2 -g 30 " + "-c:a pcm_s16le " +
               (folder / "clip.mov"));
        timeline.name = "reel";
        timeline.rate = Rate(25);
        timeline.length = Frame{100};
        timeline.media = {media("clip.mov", Rate(50), true), media("song.wav", std::nullopt, false)};
        timeline.media[0].first = Frame{1000}; // as of a start label
        timeline.video = {black({Frame{0}, Frame{25}}), shot({Frame{25}, Frame{75}}, 12, Fraction(1)),
                          shot({Frame{75}, Frame{100}}, 50, Fraction(1, 2))};
        timeline.song = {{1, {Frame{0}, Frame{100}}, {Frame{0}, Frame{100}}, "", 0}};
    }
    TimelineMedia media(const std::string& name, std::optional<Rate> rate, bool video) const {
        TimelineMedia made;
        made.path = folder / name;
        made.name = name;
        made.rate = rate;
        made.has_video = video;
        made.length = Frame{100};
        made.duration_s = 4;
        return made;
    }
    static VideoEvent black(FrameRange record) {
        VideoEvent event;
        event.shot = "black";
        event.record = record;
        event.source = record;
        return event;
    }
    static VideoEvent shot(FrameRange record, std::int64_t from, Fraction speed) {
        VideoEvent event;
        event.shot = "T1#500";
        event.media = 0;
        event.record = record;
        event.source = {Frame{1000 + from}, Frame{1000 + from + floor(Fraction(record.length().n) * speed)}};
        event.speed = speed;
        return event;
    }
    AudioEvent natural(FrameRange record, std::int64_t from, int fade) const {
        return {0, record, {Frame{1000 + from}, Frame{1000 + from} + record.length()}, "T1#500", fade};
    }
    std::string path() const { return folder / "reel.mp4"; }
    preview::Made make(const preview::Options& options = {.form = {.longer_side_px = 160}}) const {
        const auto made = preview::make_preview(timeline, path(), options);
        INFO((made ? "" : to_string(made.error())));
        REQUIRE(made);
        return *made;
    }
};

// Of the file as decoded, by libebur128 alone.
std::pair<double, double> level_of(const std::string& path) {
    const auto sound = read_sound(path);
    dsp::LoudnessMeter meter(sound.rate_hz, sound.channels.size());
    dsp::TruePeakMeter peak(sound.rate_hz, sound.channels.size());
    std::vector<const float*> channels;
    for (const auto& channel : sound.channels)
        channels.push_back(channel.data());
    meter.push({channels, sound.frames()});
    peak.push({channels, sound.frames()});
    return {dsp::integrated_lufs(meter.finish()), 20 * std::log10(peak.peak())};
}

std::size_t files_in(const TempFolder& folder) {
    return static_cast<std::size_t>(std::distance(std::filesystem::directory_iterator(folder.path()), {}));
}

std::vector<int> numbers(const std::string& path, int count) {
    auto reader = media::PictureReader::open(path, {.width = 160, .height = 90, .rate = Rate(25)});
    REQUIRE(reader);
    std::vector<int> found;
    for (int k = 0; k < count; ++k) {
        const auto picture = reader->picture_at(Fraction(2 * k + 1, 50));
        REQUIRE(picture);
        found.push_back(number_in(**picture));
    }
    return found;
}

// The counter that the clips show flashes, and the notes say so.
std::vector<std::string> beside_flashes(const preview::Made& made) {
    std::vector<std::string> notes = texts_of(made.notes);
    std::erase_if(notes, [](const std::string& note) { return note.find("WCAG 2.3.1") != note.npos; });
    return notes;
}

} // namespace

TEST_CASE("a reel that flashes is told with its labels and its shots") {
    const auto made_of = [](int pictures) { // each
        Reel reel;
        ffmpeg(fmt::format(
            "-y -f lavfi -i \"color=black:s=128x72:r=50:d=4,geq=lum='if(mod(floor(N/{}),2),235,16)':cb=128:"
            "cr=128\" -r 50 -c:v libx264 -preset veryfast {}",
            pictures, reel.folder / "clip.mov"));
        const auto made = preview::make_preview(reel.timeline, reel.folder / "reel.mp4");
        REQUIRE(made);
        return *made;
    };
    const auto quick = made_of(6); // 3 of the reel's
    REQUIRE(quick.flashes.size() == 1);
    CHECK(quick.flashes[0].flashes == 4);
    CHECK(quick.flashes[0].first.n >= 25);
    const auto told = std::ranges::find_if(quick.notes, [](const Warning& note) {
        return note.text.find("it flashes 4 times in a second") != note.text.npos;
    });
    REQUIRE(told != quick.notes.end());
    CHECK(told->text.find("from 00:00:01:") != told->text.npos);
    CHECK(told->text.find("shots T1#500") != told->text.npos);
    CHECK(told->at == FrameRange{quick.flashes[0].first, quick.flashes[0].last + Frame{1}});
    CHECK(made_of(10).flashes.empty());
}

TEST_CASE("each record frame shows the picture that is up in its middle, at the event's speed") {
    const Reel reel;
    const auto made = reel.make();
    CHECK(made.frames == 100);
    CHECK(beside_flashes(made).empty());
    const auto info = media::probe(reel.path());
    REQUIRE(info);
    CHECK(info->rate == Rate(25));
    CHECK(info->duration_s == Approx(4).margin(1e-9));
    CHECK(info->width == 160);
    CHECK(info->height == 90);
    REQUIRE(info->audio);
    CHECK(info->audio->end_s == Approx(4).margin(1e-3));
    const auto found = numbers(reel.path(), 100);
    for (int k = 0; k < 25; ++k)
        CHECK(found[static_cast<std::size_t>(k)] == 0);
    for (int k = 0; k < 50; ++k) // 12 + k + 1/2 list frames of 1/25 s are 24 + 2k + 1 pictures of 1/50 s
        CHECK(found[static_cast<std::size_t>(25 + k)] == 25 + 2 * k);
    for (int k = 0; k < 25; ++k) // 50 + (k + 1/2)/2 list frames
        CHECK(found[static_cast<std::size_t>(75 + k)] == 100 + (2 * k + 1) / 2);
}

TEST_CASE("a reel has the shape that was asked for") {
    const Reel reel;
    for (const auto& [shape, width, height] : {std::tuple{PreviewShape::wide, 320, 180},
                                               {PreviewShape::tall, 180, 320},
                                               {PreviewShape::square, 320, 320}}) {
        reel.make({.form = {.shape = shape, .longer_side_px = 320}});
        const auto info = media::probe(reel.path());
        REQUIRE(info);
        CHECK(info->width == width);
        CHECK(info->height == height);
    }
}

TEST_CASE("the whole is as loud as was asked, within 0.5 LU of the file, and says so") {
    for (const double target : {-14.0, -23.0}) {
        const Reel reel("-f lavfi -i \"anoisesrc=c=pink:d=4:r=44100:a=0.2:seed=3\" -ac 2");
        const auto made = reel.make({.form = {.longer_side_px = 160, .loudness_lufs = target}});
        const auto [lufs, peak_db] = level_of(reel.path());
        CHECK(lufs == Approx(target).margin(0.5));
        CHECK(made.lufs == Approx(lufs).margin(0.02));
        CHECK(made.true_peak_db == Approx(peak_db).margin(0.02));
        CHECK(peak_db <= -1);
        CHECK(beside_flashes(made).empty());
    }
}

TEST_CASE("where peaks forbid the target, it is quieter and a note tells") {
    // A short blow each half second.
    const Reel reel("-f lavfi -i \"aevalsrc='0.9*sin(2*PI*300*t)*exp(-60*mod(t\\,0.5))':d=4:s=48000\" -ac 2");
    const auto made = reel.make();
    const auto [lufs, peak_db] = level_of(reel.path());
    CHECK(peak_db <= -1);
    CHECK(peak_db > -1.35); // as near as preview.cpp says it comes
    CHECK(lufs < -15);
    CHECK(made.lufs == Approx(lufs).margin(0.02));
    CHECK(made.true_peak_db == Approx(peak_db).margin(0.02));
    REQUIRE(beside_flashes(made).size() == 1);
    CHECK(beside_flashes(made).front().find("LUFS") != std::string::npos);
}

TEST_CASE("natural sound lies on its record frame to the sample, between its fades") {
    // Clicks of the clip at known seconds, over silence; record frame 40 is second 0.4 of the clip.
    TempFolder clicks;
    write_clicks(clicks / "clicks.wav", 48000, 1);
    Reel reel("-f lavfi -i anullsrc=d=4:r=48000:cl=mono", "-i " + (clicks / "clicks.wav"));
    reel.timeline.natural = {reel.natural({Frame{40}, Frame{75}}, 10, 2)};
    reel.make();
    const auto sound = read_sound(reel.path());
    const auto found = clicks_of(sound);
    // 0.5, 0.8125, 1.25 and 1.6 s of the clip play 1.2 s later.
    REQUIRE(found.size() == 4);
    for (std::size_t i = 0; i < 4; ++i)
        CHECK(found[i] == Approx(click_instants[i] + 1.2).margin(0.0001));
}

TEST_CASE("natural sound fades in and out over its fade frames") {
    Reel reel("-f lavfi -i anullsrc=d=4:r=48000:cl=mono", "-f lavfi -i sine=f=1000:d=4:r=48000");
    reel.timeline.natural = {reel.natural({Frame{25}, Frame{50}}, 10, 5)};
    reel.make();
    const auto sound = read_sound(reel.path());
    const auto level = [&](double from_s) {
        double sum = 0;
        const auto from = static_cast<std::size_t>(from_s * 48000);
        for (std::size_t i = from; i < from + 480; ++i)
            sum += static_cast<double>(sound.channels[0][i]) * static_cast<double>(sound.channels[0][i]);
        return std::sqrt(sum / 480);
    };
    const double full = level(1.5);
    CHECK(level(0.95) < 0.01 * full);
    CHECK(level(1.095) == Approx(0.5 * full).epsilon(0.1)); // in the middle of half a cosine of 0.2 s
    CHECK(level(1.25) == Approx(full).epsilon(0.05));
    CHECK(level(1.895) == Approx(0.5 * full).epsilon(0.1));
    CHECK(level(2.05) < 0.01 * full);
}

TEST_CASE("natural sound is so much quieter than the song") {
    // A tone each, whose levels tell.
    Reel reel("-f lavfi -i \"sine=f=500:d=4:r=48000,volume=6dB\" -ac 2",
              "-f lavfi -i \"sine=f=2000:d=4:r=48000,volume=-20dB\"");
    reel.timeline.natural = {reel.natural({Frame{25}, Frame{75}}, 10, 2)};
    reel.make({.form = {.longer_side_px = 160, .loudness_lufs = -20}, .natural_under_song_lu = 6});
    const auto sound = read_sound(reel.path());
    // The 500 Hz tone repeats after 96 samples and so do four of 2 kHz; half that apart, one tone turns over.
    double song = 0, natural = 0;
    for (std::size_t i = 60000; i < 100000; ++i) {
        const double a = static_cast<double>(sound.channels[0][i]),
                     b = static_cast<double>(sound.channels[0][i + 48]);
        song += (a - b) * (a - b) / 4;
        natural += (a + b) * (a + b) / 4;
    }
    // K-weighting lifts 2 kHz over 500 Hz by about 2.7 dB (BS.1770-4, filters of annex 1).
    CHECK(10 * std::log10(song / natural) == Approx(6 + 2.7).margin(0.7));
}

TEST_CASE("a clip that cannot be decoded is a slate, and a note; the reel is whole") {
    Reel reel;
    std::ofstream(reel.folder / "clip.mov", std::ios::binary) << std::string(5000, 'x');
    reel.timeline.natural = {reel.natural({Frame{30}, Frame{60}}, 10, 2)};
    const auto made = reel.make({.form = {.longer_side_px = 640}});
    REQUIRE(beside_flashes(made).size() == 3); // a shot, another of the same clip, its sound
    for (const auto& note : beside_flashes(made))
        CHECK(note.find("clip.mov") == 0);
    const auto info = media::probe(reel.path());
    REQUIRE(info);
    CHECK(info->duration_s == Approx(4).margin(1e-9));
    auto reader = media::PictureReader::open(reel.path(), {.rate = Rate(25)});
    REQUIRE(reader);
    const auto slate = reader->picture_at(Fraction(2));
    REQUIRE(slate);
    std::size_t dark = 0, bright = 0, black = 0;
    for (int i = 0; i < 640 * 360; ++i) {
        const int grey = (*slate)->bytes[static_cast<std::size_t>(i)];
        dark += grey > 40 && grey < 60;
        bright += grey > 150;
        black += grey < 25;
    }
    CHECK(dark > 220000);
    CHECK(bright > 300); // the name
    CHECK(black < 1000);
}

TEST_CASE("a reel that is stopped leaves nothing, and what stood there stays") {
    const Reel reel;
    std::ofstream(reel.path()) << "older";
    const auto before = files_in(reel.folder);
    std::stop_source stop;
    std::size_t reports = 0;
    const LongWork work{[&](double) {
                            if (++reports == 20) stop.request_stop();
                        },
                        stop.get_token()};
    const auto made =
        preview::make_preview(reel.timeline, reel.path(), {.form = {.longer_side_px = 160}}, work);
    REQUIRE_FALSE(made);
    CHECK(made.error().fault == Fault::interrupted);
    CHECK(reports == 20);
    CHECK(files_in(reel.folder) == before);
    CHECK(std::filesystem::file_size(reel.path()) == 5);
}

TEST_CASE("a song that is gone is an error, and leaves nothing") {
    const Reel reel;
    std::filesystem::remove(reel.folder / "song.wav");
    const auto before = files_in(reel.folder);
    const auto made = preview::make_preview(reel.timeline, reel.path());
    REQUIRE_FALSE(made);
    CHECK(made.error().where == reel.folder / "song.wav");
    CHECK(files_in(reel.folder) == before);
}

TEST_CASE("the same reel comes out byte for byte") {
    Reel reel;
    reel.timeline.natural = {reel.natural({Frame{30}, Frame{60}}, 10, 2)};
    const auto read = [&] {
        std::ifstream file(reel.path(), std::ios::binary);
        return std::string(std::istreambuf_iterator<char>(file), {});
    };
    reel.make();
    const auto first = read();
    reel.make();
    CHECK(first == read());
}
