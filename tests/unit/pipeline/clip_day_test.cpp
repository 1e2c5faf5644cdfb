// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/clip_day.h"
#include "support/camera_day.h"
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

#include <filesystem>
#include <fmt/chrono.h>
#include <set>

using namespace downball;
using namespace downball::pipeline;
using shotlog::FoundClip;

namespace {

constexpr double noon_s = 1784376000; // `date -u -d 2026-07-18T12:00 +%s` of GNU coreutils

std::string iso(double at_s) {
    return fmt::format("{:%Y-%m-%dT%H:%M:%S}Z", fmt::gmtime(static_cast<std::time_t>(at_s)));
}

// `at_s`: by the clock of its camera, after noon. Contacts in seconds of the file.
FoundClip clip(const std::string& file, std::optional<double> at_s, double lasts_s = 10,
               const std::vector<double>& contacts = {}) {
    FoundClip found{file, media_of(file, lasts_s), Hearing{}};
    found.media.name = std::filesystem::path(file).filename().string();
    if (at_s) found.media.created = iso(noon_s + *at_s);
    for (const double contact_s : contacts)
        found.hearing->contacts.push_back({.sound_s = contact_s, .confidence = 0.9, .strength = 0.5});
    return found;
}

FoundClip of_device(FoundClip found, const std::string& device) {
    found.media.device = device;
    return found;
}

FoundClip silent(FoundClip found) {
    found.media.audio.reset();
    found.hearing.reset();
    return found;
}

FoundClip labelled(FoundClip found, double label_s) {
    found.media.start = StartTimecode{"", Frame{std::llround(label_s * 25)}, Rate(25)};
    return found;
}

// Two cameras whose clocks are known: that of B is an hour ahead.
job::Job two_clocks() {
    job::Job job;
    job.folder = "/no/such/day";
    job.cameras["A"].clock_offset_s = 0;
    job.cameras["B"].clock_offset_s = -3600;
    return job;
}
constexpr double ahead_s = 3600;

text::CsvTable log_of(const std::string& csv) {
    const auto table = text::read_csv(csv, "log.csv");
    REQUIRE(table);
    return *table;
}

struct Placed {
    std::vector<FoundClip> clips;
    ClipDay day;

    const FoundClip& at(const std::string& file) const {
        const auto found = std::ranges::find(clips, file, &FoundClip::file);
        REQUIRE(found != clips.end());
        return *found;
    }
    std::vector<std::string> files() const {
        std::vector<std::string> names;
        for (const FoundClip& one : clips)
            names.push_back(one.file);
        return names;
    }
};

Placed place(std::vector<FoundClip> clips, const text::CsvTable& log = shotlog::new_table(),
             const job::Job& job = two_clocks()) {
    Placed placed{std::move(clips), {}};
    auto day = place_in_day(placed.clips, log, job, {});
    REQUIRE(day);
    placed.day = std::move(*day);
    return placed;
}

std::string& cell(text::CsvTable& table, std::size_t row, const char* column) {
    const int at = table.column(column);
    REQUIRE(at >= 0);
    return table.rows.at(row).at(static_cast<std::size_t>(at));
}

text::CsvTable logged(const text::CsvTable& table, const std::vector<FoundClip>& clips,
                      const job::Job& job = two_clocks()) {
    return shotlog::merge(table, place(clips, table, job).clips).table;
}

std::string cell_of(text::CsvTable table, const std::string& file, const char* column) {
    for (std::size_t i = 0; i < table.rows.size(); ++i)
        if (cell(table, i, "file") == file) return cell(table, i, column);
    FAIL(file << " is not in the log");
    return {};
}

// Rallies with a contact a second or so, no two alike; one camera hears each from its second 2, the other from 3.
const std::vector<double> first_rally{2, 2.9, 4.1, 4.8, 6.2}, heard_first{3, 3.9, 5.1, 5.8, 7.2};
const std::vector<double> second_rally{2, 3.3, 3.9, 5.5}, heard_second{3, 4.3, 4.9, 6.5};

} // namespace

TEST_CASE("a folder names its camera; where it holds several devices, each of these does") {
    const auto placed =
        place({of_device(clip("A/DCIM/100CAMRA/a.mp4", 0), "Kestrel K7"),
               of_device(clip("cards/k.mp4", 20), "Kestrel K7"), of_device(clip("cards/w.mp4", 40), "Wren 2"),
               clip("cards/x.mp4", 60), of_device(clip("cards/f.mp4", 70), "=1+1"),
               of_device(clip("alone.mp4", 80), "Wren 2"), clip("bare.mp4", 90)});
    CHECK(placed.at("A/DCIM/100CAMRA/a.mp4").camera == "A");
    CHECK(placed.at("cards/k.mp4").camera == "Kestrel_K7");
    CHECK(placed.at("cards/w.mp4").camera == "Wren_2");
    CHECK(placed.at("cards/x.mp4").camera == "cards");
    CHECK(placed.at("cards/f.mp4").camera == "cards");
    CHECK(placed.at("alone.mp4").camera == "Wren_2");
    CHECK(placed.at("bare.mp4").camera.empty());
    CHECK(placed.day.cameras == std::vector<std::string>{"A", "Kestrel_K7", "Wren_2", "cards"});
}

TEST_CASE("clips that come later are of the cameras that the log has") {
    const std::vector<FoundClip> clips{
        of_device(clip("cards/k1.mp4", 0), "Kestrel K7"), of_device(clip("cards/k2.mp4", 20), "Kestrel K7"),
        of_device(clip("cards/w1.mp4", 40), "Wren 2"), clip("far/1.mp4", 0), clip("far/2.mp4", 30)};
    const auto placed = place(clips, log_of("file,camera\ncards/k1.mp4,near\nfar/1.mp4,south end\n"));
    CHECK(placed.at("cards/k1.mp4").camera == "near");
    CHECK(placed.at("cards/k2.mp4").camera == "near");
    CHECK(placed.at("cards/w1.mp4").camera == "Wren_2");
    CHECK(placed.at("far/2.mp4").camera == "south end");
    CHECK(placed.day.cameras == std::vector<std::string>{"Wren_2", "near", "south end"});
}

TEST_CASE("new clips are in order of the day, behind those that the log has") {
    const std::vector<FoundClip> clips{clip("A/1.mp4", 0),
                                       clip("A/2.mp4", 100),
                                       clip("A/3.mp4", 200),
                                       clip("A/none.mp4", {}),
                                       clip("B/1.mp4", ahead_s + 50),
                                       clip("B/2.mp4", ahead_s + 150),
                                       clip("B/3.mp4", ahead_s + 250)};
    CHECK(place(clips).files() == std::vector<std::string>{"A/1.mp4", "B/1.mp4", "A/2.mp4", "B/2.mp4",
                                                           "A/3.mp4", "B/3.mp4", "A/none.mp4"});
    CHECK(place(clips, log_of("file,camera\nB/3.mp4,\n")).files() ==
          std::vector<std::string>{"B/3.mp4", "A/1.mp4", "B/1.mp4", "A/2.mp4", "B/2.mp4", "A/3.mp4",
                                   "A/none.mp4"});
}

TEST_CASE("when a clip began is told by the clock of the day, of known files as well") {
    auto recorder = clip("C/sound.wav", {});
    recorder.media.has_video = false;
    recorder.media.time_of_day_s = 57208.5;
    const auto placed =
        place({clip("A/1.mp4", 7), clip("B/1.mp4", ahead_s + 65), clip("A/none.mp4", {}), recorder},
              log_of("file,camera\nB/1.mp4,B\n"));
    CHECK(placed.at("A/1.mp4").began == "2026-07-18 12:00:07");
    CHECK(placed.at("B/1.mp4").began == "2026-07-18 12:01:05");
    CHECK(placed.at("A/none.mp4").began.empty());
    CHECK(placed.at("C/sound.wav").began == "2026-07-18 15:53:28"); // of the day that others tell
}

TEST_CASE("clips of two cameras with the contacts of one rally share a moment, named in order of the day") {
    const auto placed =
        place({clip("A/1.mp4", 0, 10, first_rally), clip("A/2.mp4", 40, 10, second_rally),
               clip("A/3.mp4", 80, 10, first_rally), clip("B/1.mp4", ahead_s + 39, 10, heard_second),
               clip("B/2.mp4", ahead_s - 1, 10, heard_first)});
    CHECK(placed.at("A/1.mp4").moment == "R001");
    CHECK(placed.at("B/2.mp4").moment == "R001");
    CHECK(placed.at("A/2.mp4").moment == "R002");
    CHECK(placed.at("B/1.mp4").moment == "R002");
    CHECK(placed.at("A/3.mp4").moment.empty()); // alone
}

TEST_CASE("moments are named behind all that the log has, in whatever row") {
    const std::vector<FoundClip> clips{clip("A/1.mp4", 0, 10, first_rally),
                                       clip("B/1.mp4", ahead_s - 1, 10, heard_first),
                                       clip("A/9.mp4", 500, 10, second_rally)};
    for (const char* log : {"file,moment\nA/9.mp4,R004\n",               // of a file that is there
                            "file,moment\nA/9.mp4,R001\nA/9.mp4,R004\n", // its second row
                            "file,moment\ngone.mp4,R004\nA/9.mp4,final\n"}) {
        CAPTURE(log);
        const auto placed = place(clips, log_of(log));
        CHECK(placed.at("A/1.mp4").moment == "R005");
        CHECK(placed.at("B/1.mp4").moment == "R005");
        CHECK(placed.at("A/9.mp4").moment.empty());
    }
}

TEST_CASE("a clip that comes later takes the moment that its rally has in the log") {
    const std::vector<FoundClip> clips{clip("A/1.mp4", 0, 10, first_rally),
                                       clip("B/1.mp4", ahead_s - 1, 10, heard_first)};
    CHECK(place(clips, log_of("file,camera,moment\nA/1.mp4,A,match ball\n")).at("B/1.mp4").moment ==
          "match ball");
}

TEST_CASE("a row of a known file gets a moment only if it is its only one, and only if a new clip joins") {
    const std::vector<FoundClip> clips{clip("A/1.mp4", 0, 10, first_rally),
                                       clip("B/1.mp4", ahead_s - 1, 10, heard_first)};
    const auto one = place(clips, log_of("file,camera,moment\nA/1.mp4,A,\n"));
    CHECK(one.at("A/1.mp4").moment == "R001");
    CHECK(one.at("B/1.mp4").moment == "R001");
    for (const char* rows : {"A/1.mp4,A,\nA/1.mp4,A,\n", "A/1.mp4,A,\n./A/1.mp4,A,\n"}) {
        CAPTURE(rows);
        const auto two = place(clips, log_of(std::string("file,camera,moment\n") + rows));
        CHECK(two.at("A/1.mp4").moment.empty());
        CHECK(two.at("B/1.mp4").moment == "R001");
    }
    const auto none = place(clips, log_of("file,camera,moment\nA/1.mp4,A,\nB/1.mp4,B,\n"));
    CHECK(none.at("A/1.mp4").moment.empty());
    CHECK(none.at("B/1.mp4").moment.empty());
}

TEST_CASE("first guesses of kind") {
    auto rejoicing = clip("B/crowd.mp4", ahead_s + 300);
    rejoicing.hearing->crowd = 0.5;
    auto quieter = clip("B/hum.mp4", ahead_s + 400);
    quieter.hearing->crowd = 0.49;
    auto recorder = clip("C/sound.wav", {});
    recorder.media.has_video = false;
    const auto placed = place({clip("A/1.mp4", 0, 10, first_rally),
                               silent(clip("B/1.mp4", ahead_s + 3, 5)), // contacts of the rally to 6.2 s
                               clip("B/2.mp4", ahead_s + 10, 5), rejoicing, quieter, recorder,
                               silent(clip("B/9.mp4", ahead_s + 600)), clip("A/2.mp4", 100, 10, {4})});
    CHECK(placed.at("A/1.mp4").kind == Kind::action);
    CHECK(placed.at("A/2.mp4").kind == Kind::action);
    CHECK(placed.at("B/1.mp4").kind == Kind::action);
    CHECK(placed.at("B/2.mp4").kind == Kind::reaction);
    CHECK(placed.at("B/crowd.mp4").kind == Kind::reaction);
    CHECK(placed.at("B/hum.mp4").kind == Kind::cutaway);
    CHECK(placed.at("B/9.mp4").kind == Kind::cutaway);
    CHECK(placed.at("C/sound.wav").kind == Kind::sound);
    CHECK(placed.at("B/1.mp4").moment == placed.at("A/1.mp4").moment);
    CHECK(placed.at("B/2.mp4").moment == placed.at("A/1.mp4").moment);
    // What it heard nothing of although it could is no action.
    const auto deaf = place({clip("A/1.mp4", 0, 10, first_rally), clip("B/1.mp4", ahead_s + 3, 5)});
    CHECK(deaf.at("B/1.mp4").kind == Kind::cutaway);
}

TEST_CASE("new clips get reels that no spreadsheet takes for a number") {
    auto recorder = clip("A/T0007.wav", {});
    recorder.media.has_video = false;
    auto card = clip("A/C3.mp4", 60);
    card.media.card_reel = "A012R7XY";
    const std::vector<FoundClip> clips{clip("A/C1_0004.mp4", 0), clip("A/20260718.mp4", 20),
                                       clip("A/C2.mp4", 40), recorder, card};
    const auto log = log_of("file,reel\nA/C2.mp4,\n");
    auto job = two_clocks();
    const auto placed = place(clips, log, job);
    CHECK(placed.at("A/C1_0004.mp4").reel == "C10004");
    CHECK(placed.at("A/20260718.mp4").reel.empty());
    CHECK(placed.at("A/C2.mp4").reel.empty());
    CHECK(placed.at("A/T0007.wav").reel.empty());
    CHECK(placed.at("A/C3.mp4").reel == "C3");
    job.lists.reels_from_card = true;
    CHECK(place(clips, log, job).at("A/C3.mp4").reel == "A012R7XY");
}

TEST_CASE("no new clip gets the reel of a file that is gone for now") {
    const auto placed =
        place({clip("A/C3.mp4", 0), clip("A/C4.mp4", 60)}, log_of("file,id,reel\ngone.mp4,T001,C3\n"));
    CHECK(placed.at("A/C3.mp4").reel != "C3");
    CHECK(placed.at("A/C4.mp4").reel == "C4");
}

TEST_CASE("recordings that a camera split are noted on both files and told") {
    const std::vector<FoundClip> clips{labelled(clip("A/1.mp4", {}), 43200),
                                       labelled(clip("A/2.mp4", {}), 43210),
                                       labelled(clip("A/3.mp4", {}), 43300)};
    const auto placed = place(clips);
    // Labels that run on without creation times are those of a camera that counts recordings: these do so once.
    CHECK(placed.at("A/1.mp4").note == "goes on in 2.mp4");
    CHECK(placed.at("A/2.mp4").note == "goes on from 1.mp4");
    CHECK(placed.at("A/3.mp4").note.empty());
    const auto told = [](const Placed& day) {
        return std::ranges::count_if(day.day.notes, [](const std::string& note) {
            return note.find("A/2.mp4 goes on where A/1.mp4 ends") == 0;
        });
    };
    CHECK(told(placed) == 1);
    const auto known = place(clips, log_of("file,camera\nA/1.mp4,A\nA/2.mp4,A\nA/3.mp4,A\n"));
    CHECK(told(known) == 0);
    CHECK(known.at("A/1.mp4").note.empty());
}

namespace {

// A day of which the truth is known, by cameras that lie in folders of their names.
std::vector<FoundClip> clips_of(const test::FilmedDay& day) {
    std::vector<FoundClip> clips;
    for (std::size_t i = 0; i < day.recordings.size(); ++i) {
        const auto& one = day.recordings[i];
        const double shown_s = one.began->at_s - one.began->step_s / 2;
        FoundClip found = clip(fmt::format("{}/C{:04}.mp4", one.camera, i), shown_s - noon_s, one.real_s);
        for (const auto& contact : one.contacts)
            found.hearing->contacts.push_back({.sound_s = contact.at_s, .confidence = contact.confidence});
        clips.push_back(std::move(found));
    }
    return clips;
}

std::size_t index_of(const std::string& file) {
    return static_cast<std::size_t>(std::stoi(file.substr(file.find('C') + 1)));
}

const std::vector<test::CameraSetting> three_cameras{
    {.name = "A", .share = 0.9}, {.name = "B", .offset_s = -3601.5}, {.name = "D", .offset_s = 40}};

job::Job no_clocks() {
    job::Job job;
    job.folder = "/no/such/day";
    return job;
}

} // namespace

TEST_CASE("clocks that nobody knows are found by what was heard, and the day is put in order by them") {
    const auto day = test::film_day(21, 60, three_cameras);
    const auto placed = place(clips_of(day), shotlog::new_table(), no_clocks());
    double latest_s = 0, worst_s = 0;
    for (const FoundClip& one : placed.clips) {
        const double began_s = day.began_s[index_of(one.file)];
        worst_s = std::max(worst_s, latest_s - began_s);
        latest_s = std::max(latest_s, began_s);
    }
    CHECK(worst_s < 2.5); // two clocks read to a second, and the fit
    std::size_t together = 0, right = 0;
    for (const FoundClip& a : placed.clips)
        for (const FoundClip& b : placed.clips) {
            if (a.camera >= b.camera || a.moment.empty() || a.moment != b.moment) continue;
            ++together;
            right += day.rally[index_of(a.file)] == day.rally[index_of(b.file)] ? 1 : 0;
        }
    CHECK(together > 40);
    CHECK(static_cast<double>(right) > 0.95 * static_cast<double>(together));
    CHECK(placed.day.notes.size() == 2);
}

TEST_CASE("law: placing and merging again changes nothing, whatever came between") {
    for (std::uint64_t seed = 1; seed <= 12; ++seed) {
        INFO("seed " << seed);
        const auto clips = clips_of(test::film_day(seed, 16, three_cameras));
        const auto job = seed % 2 ? no_clocks() : two_clocks();
        SplitMix64 random(seed);
        std::vector<FoundClip> here, later;
        for (const FoundClip& one : clips)
            (random.chance(0.6) ? here : later).push_back(one);
        auto table = shotlog::new_table();
        const auto settle = [&] {
            const auto once = logged(table, here, job);
            REQUIRE(text::write_csv(logged(once, here, job)) == text::write_csv(once));
            table = once;
        };
        settle();
        CHECK(table.rows.size() == here.size());
        std::set<std::string> emptied; // rows whose moment the user took away
        for (std::size_t i = 0; i < table.rows.size(); ++i) {
            if (random.chance(0.2)) cell(table, i, "kind").clear();
            if (random.chance(0.2)) cell(table, i, "camera").clear();
            if (random.chance(0.2) && !cell(table, i, "moment").empty()) {
                cell(table, i, "moment").clear();
                emptied.insert(cell(table, i, "file"));
            }
        }
        const auto before = table;
        settle();
        CHECK(table.rows.size() == before.rows.size());
        for (const auto& file : emptied)
            CHECK(cell_of(table, file, "moment").empty());
        here.insert(here.end(), later.begin(), later.end());
        const auto user = table;
        settle();
        // The rows that were there stand in front as they were, save for cells that were empty.
        REQUIRE(table.rows.size() == clips.size());
        for (std::size_t i = 0; i < user.rows.size(); ++i)
            for (std::size_t c = 0; c < user.header.size(); ++c)
                if (!user.rows[i][c].empty()) CHECK(table.rows[i][c] == user.rows[i][c]);
        for (std::size_t i = 0; i < user.rows.size(); ++i)
            CHECK(cell(table, i, "kind") == user.rows[i][static_cast<std::size_t>(user.column("kind"))]);
    }
}
