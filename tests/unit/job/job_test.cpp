// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/job/job.h"

using namespace downball;
using namespace downball::job;

namespace {

std::string job_text(const std::string& rest) {
    return R"({"downball": 1, "song": {"file": "song.wav"}, "footage": ["clips"])" +
           (rest.empty() ? "" : ", " + rest) + "}";
}

Job job_of(const std::string& rest) {
    const auto job = read_job(job_text(rest), "day/job.json");
    if (!job) FAIL(to_string(job.error()));
    return *job;
}

std::string complaint(const std::string& rest) {
    const auto job = read_job(job_text(rest), "day/job.json");
    REQUIRE_FALSE(job);
    CHECK(job.error().fault == Fault::bad_input);
    return to_string(job.error());
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("a job with the needed members alone has every default") {
    const Job job = job_of("");
    CHECK(job.folder == "day");
    CHECK(job.name == "reel");
    CHECK(job.song.file == "song.wav");
    CHECK(job.footage == std::vector<std::string>{"clips"});
    CHECK(job.limits.delivery.rate == Rate(25));
    CHECK(job.limits.delivery.start == Frame{90000}); // 01:00:00:00, as README says
    CHECK_FALSE(job.limits.delivery.length_s);
    CHECK(job.limits.pacing.shortest_s == 1.0 / 3);
    CHECK(job.lists.line_end == LineEnd::crlf);
    CHECK(read_job(job_text(""), "job.json")->folder == ".");
}

TEST_CASE("where the song begins and whether it jumps may be said or left to the tool") {
    const auto song = [](const std::string& members) {
        return read_job(R"({"downball": 1, "song": {"file": "song.wav")" + members +
                            R"(}, "footage": ["clips"]})",
                        "job.json");
    };
    const auto said = song(R"(, "start_s": 12.5, "jump": false)");
    REQUIRE(said);
    CHECK(said->song.start_s == 12.5);
    CHECK(said->song.jump == false);
    const auto left = song(R"(, "start_s": null, "jump": null)");
    REQUIRE(left);
    CHECK_FALSE(left->song.start_s);
    CHECK_FALSE(left->song.jump);
    CHECK_FALSE(song(R"(, "jump": "yes")"));
}

TEST_CASE("every member arrives where it belongs") {
    const Job job = job_of(R"("name": "day one", "log": "l.csv", "out": "o",
        "roster": {"players": {"A1": "Dune", "B2": "Tide"}},
        "cameras": {"C": {"name": "long lens", "sound_offset_s": 0.01, "distance_m": 18, "capture_fps": 100}},
        "delivery": {"rate": 29.97, "drop_frame": true, "start_timecode": "00:01:00;02", "length_s": 30},
        "pacing": {"shortest_s": 0.5, "longest_s": 3, "lead_in_s": [0.1, 0.2], "tail_s": 0.3, "handle_frames": 5, "cut_on": "half_beat"},
        "variety": {"players": {"A1": {"at_least": 2, "at_most": 4}, "B2": {}}, "skills": {"dig": {"at_least": 1}},
            "slow_motion_share_max": 0.1, "cutaway_share_max": 0.2, "reaction_share_max": 0.15, "replays": true,
            "confidence_floor": 0.4, "slowest": 0.5},
        "story": {"order": "chronological"},
        "weights": {"sync": 1.5, "accent": 2.5, "confidence": 3.5, "rating": 4.5, "pace": 5.5, "variety": 6.5,
            "reaction": 7.5, "spread": 8.5, "chronology": 9.5, "story": 10.5, "side": 11.5, "coverage": 12.5, "fresh": 13.5, "keep": 14.5},
        "locks": [{"shot": "T001#5", "record_in": "00:01:01;02", "source_in": 7}, {"shot": "T002@1", "record_in": 12}],
        "sound": {"air_temperature_c": 30, "natural": false, "fade_frames": 4, "j_cut_frames": 5, "l_cut_frames": 6},
        "lists": {"line_end": "lf", "parts": "from_start", "absolute_urls": true, "media_root": {"from": "/a", "to": "/b"}})");
    CHECK(job.players.at("B2").team == "Tide");
    CHECK(job.cameras.at("C").sound_offset_s == 0.01);
    CHECK(job.cameras.at("C").distance_m == 18);
    CHECK(job.cameras.at("C").capture_fps == 100);
    const Limits& limits = job.limits;
    CHECK(limits.delivery.rate == Rate(30000, 1001));
    CHECK(limits.delivery.counting == Counting::drop);
    CHECK(limits.delivery.start == Frame{1800});
    CHECK(limits.delivery.length_s == 30);
    CHECK(limits.pacing.lead_in_max_s == 0.2);
    CHECK(limits.pacing.tail_s == 0.3);
    CHECK(limits.pacing.handle_frames == 5);
    CHECK(limits.pacing.cut_on == CutOn::half_beat);
    CHECK(limits.variety.players.at("A1").at_most == 4);
    CHECK(limits.variety.players.at("B2").at_least == 0);
    CHECK_FALSE(limits.variety.players.at("B2").at_most);
    CHECK(limits.variety.skills.at(Skill::dig).at_least == 1);
    CHECK(limits.variety.replays);
    CHECK(limits.variety.slowest == 0.5);
    CHECK(limits.story.order == Order::chronological);
    const Weights& w = limits.weights;
    const double all[] = {w.sync,   w.accent,     w.confidence, w.rating, w.pace,     w.variety, w.reaction,
                          w.spread, w.chronology, w.story,      w.side,   w.coverage, w.fresh,   w.keep};
    for (std::size_t i = 0; i < std::size(all); ++i)
        CHECK(all[i] == 1.5 + static_cast<double>(i));
    REQUIRE(limits.locks.size() == 2);
    CHECK(limits.locks[0].record_in == Frame{30});
    CHECK(limits.locks[0].source_in == Frame{7});
    CHECK(limits.locks[1].record_in == Frame{12});
    CHECK_FALSE(job.sound.natural);
    CHECK(job.sound.fade_frames == 4);
    CHECK(job.sound.j_cut_frames == 5);
    CHECK(job.sound.l_cut_frames == 6);
    CHECK(job.lists.parts_from_start);
    CHECK(job.lists.media_root == std::pair<std::string, std::string>{"/a", "/b"});
}

TEST_CASE("a lock is a shot's id, or an object that holds it") {
    const auto locks = job_of(R"("locks": ["T008#7292", {"shot": "T002@1", "record_in": 12}])").limits.locks;
    REQUIRE(locks.size() == 2);
    CHECK(locks[0].shot == "T008#7292");
    CHECK_FALSE(locks[0].record_in);
    CHECK(locks[1].record_in == Frame{12});
    CHECK(has(
        complaint(R"("locks": [7])"),
        "/locks/0: found 7, expected text in double quotes, not empty or an object in braces: the id of a "
        "shot that must stay"));
    CHECK(has(complaint(R"("locks": [""])"), "/locks/0"));
    CHECK(has(complaint(R"("locks": [{"record_in": 3}])"), "the member \"shot\" is missing"));
}

TEST_CASE("rates are names of exact fractions, with or without quotes") {
    CHECK(job_of(R"("delivery": {"rate": "23.976"})").limits.delivery.rate == Rate(24000, 1001));
    CHECK(job_of(R"("delivery": {"rate": 23.98})").limits.delivery.rate == Rate(24000, 1001));
    CHECK(job_of(R"("delivery": {"rate": "30000/1001"})").limits.delivery.rate == Rate(30000, 1001));
    CHECK(job_of(R"("delivery": {"rate": 50})").limits.delivery.rate == Rate(50));
}

TEST_CASE("a delivery that timecode cannot count is refused") {
    const std::string fast = complaint(R"("delivery": {"rate": 120})");
    CHECK(has(fast, "day/job.json /delivery/rate: found 120"));
    CHECK(has(fast, "24000/1001, 24, 25, 30000/1001, 30, 48, 50, 60000/1001 or 60"));
    CHECK(has(complaint(R"("delivery": {"rate": "fast"})"), "/delivery/rate"));
    CHECK(has(complaint(R"("delivery": {"rate": -25})"), "/delivery/rate"));
    CHECK(has(complaint(R"("delivery": {"rate": 25, "drop_frame": true})"),
              "/delivery/drop_frame: found true at a rate of 25"));
    CHECK(has(complaint(R"("delivery": {"start_timecode": "01:00:00:25"})"), "/delivery/start_timecode"));
    CHECK(has(complaint(R"("delivery": {"start_timecode": "an hour"})"), "/delivery/start_timecode"));
    CHECK(has(complaint(R"("delivery": {"rate": 29.97, "start_timecode": "01:00:00;00"})"),
              "drop_frame is not true"));
    CHECK(
        has(complaint(R"("delivery": {"rate": 29.97, "drop_frame": true, "start_timecode": "00:01:00;00"})"),
            "/delivery/start_timecode"));
}

TEST_CASE("limits that contradict each other are named") {
    CHECK(has(complaint(R"("pacing": {"shortest_s": 5})"),
              "/pacing/shortest_s: found 5, which is over longest_s, 4"));
    CHECK(has(complaint(R"("pacing": {"lead_in_s": [0.3, 0.1]})"), "/pacing/lead_in_s: found [0.3, 0.1]"));
    CHECK(has(complaint(R"("pacing": {"longest_s": 1, "tail_s": 1})"),
              "/pacing/longest_s: found 1, too short"));
    CHECK(has(complaint(R"("delivery": {"length_s": 0.2})"), "/delivery/length_s"));
    CHECK(has(complaint(R"("variety": {"skills": {"dig": {"at_least": 3, "at_most": 2}}})"),
              "/variety/skills/dig: found at_least 3 and at_most 2"));
    CHECK(has(complaint(R"("locks": [{"shot": "T1", "record_in": "00:00:00:99"}])"), "/locks/0/record_in"));
    CHECK(has(
        complaint(
            R"("delivery": {"start_timecode": "01:00:00:00"}, "locks": [{"shot": "T1", "record_in": "00:00:01:00"}])"),
        "before the start timecode"));
    CHECK(has(complaint(R"("name": "a/b")"), "/name"));
    CHECK(has(complaint(R"("name": ".hidden")"), "/name"));
    CHECK(has(complaint(R"("name": ")" + std::string(201, 'x') + '"'), "/name"));
    CHECK(job_of(R"("name": ")" + std::string(200, 'x') + '"').name.size() == 200);
}

TEST_CASE("several lengths and how far versions differ arrive, and lengths that make no sense are named") {
    CHECK(job_of("").lengths_s.empty());
    CHECK(job_of("").versions_differ == 0.5); // as README says
    const Job job = job_of(
        R"("delivery": {"length_s": null, "lengths_s": [30, 12.5, 90]}, "variety": {"versions_differ": 0.75})");
    CHECK(job.lengths_s == std::vector<double>{30, 12.5, 90});
    CHECK_FALSE(job.limits.delivery.length_s);
    CHECK(job.versions_differ == 0.75);
    CHECK(job_of(R"("variety": {"versions_differ": 1})").versions_differ == 1);

    CHECK(has(complaint(R"("delivery": {"length_s": 30, "lengths_s": [15, 60]})"),
              "day/job.json /delivery/lengths_s: found beside length_s"));
    CHECK(has(complaint(R"("delivery": {"lengths_s": [15, 30, 60, 30]})"),
              "/delivery/lengths_s/3: found 30 a second time"));
    CHECK(has(complaint(R"("delivery": {"lengths_s": [15, 0.3]})"),
              "/delivery/lengths_s/1: found 0.3, which is under the shortest shot, 0.333 s"));
    CHECK(job_of(R"("delivery": {"lengths_s": [0.5]}, "pacing": {"shortest_s": 0.5})").lengths_s.size() == 1);
    const std::string both = complaint(R"("delivery": {"lengths_s": [0.2, 0.2]})");
    CHECK(has(both, "/delivery/lengths_s/0: found 0.2, which is under"));
    CHECK(has(both, "/delivery/lengths_s/1: found 0.2 a second time"));
    CHECK(has(complaint(R"("delivery": {"lengths_s": []})"), "/delivery/lengths_s"));
    CHECK(has(complaint(R"("delivery": {"lengths_s": 30})"), "/delivery/lengths_s: found 30"));
    CHECK(has(complaint(R"("variety": {"versions_differ": 0})"), "/variety/versions_differ: found 0"));
    CHECK(has(complaint(R"("variety": {"versions_differ": 1.01})"), "/variety/versions_differ: found 1.01"));
}

TEST_CASE("what the user knows of the song arrives, and contradictions are named") {
    const auto with_song = [](const std::string& rest) {
        return read_job(R"({"downball": 1, "footage": ["clips"], "song": {"file": "song.wav", )" + rest +
                            "}}",
                        "job.json");
    };
    const auto hints = [&](const std::string& rest) {
        const auto job = with_song(rest);
        if (!job) FAIL(to_string(job.error()));
        return job->song.hints;
    };
    const auto refusal = [&](const std::string& rest) {
        const auto job = with_song(rest);
        REQUIRE_FALSE(job);
        CHECK(job.error().fault == Fault::bad_input);
        return to_string(job.error());
    };
    CHECK(job_of("").song.hints == SongHints{});
    CHECK(hints(R"("bpm": null, "tempo": "found", "beat_one_s": null, "beats_per_bar": null)") ==
          SongHints{});
    const auto all = hints(R"("bpm": 127.5, "beat_one_s": 12.25, "beats_per_bar": 3)");
    CHECK(all.bpm == 127.5);
    CHECK(all.tempo == TempoHint::as_found);
    CHECK(all.beat_one_s == 12.25);
    CHECK(all.beats_per_bar == 3);
    CHECK(hints(R"("tempo": "half")").tempo == TempoHint::half);
    CHECK(hints(R"("tempo": "double")").tempo == TempoHint::twice);

    CHECK(has(refusal(R"("bpm": 120, "tempo": "double")"),
              "job.json /song/tempo: found \"double\" beside a bpm of 120"));
    CHECK(has(refusal(R"("bpm": 12)"), "/song/bpm: found 12, expected a number from 20 to 400"));
    CHECK(has(refusal(R"("tempo": "duoble")"), "did you mean \"double\"?"));
    CHECK(has(refusal(R"("beat_one_s": -1)"), "/song/beat_one_s: found -1"));
    CHECK(has(refusal(R"("beats_per_bar": 5)"), "/song/beats_per_bar: found 5"));
}

TEST_CASE("players are looked up in the roster, if there is one") {
    CHECK(has(
        complaint(
            R"("roster": {"players": {"Mara": "Dune", "Ines": "Tide"}}, "variety": {"players": {"Marra": {"at_least": 1}}})"),
        "did you mean \"Mara\"?"));
    CHECK(has(complaint(R"("roster": {"players": {"A1": "Dune"}}, "variety": {"players": {"Quirin": {}}})"),
              "one of the roster: A1"));
    CHECK(has(complaint(R"("roster": {"players": {"Mara K": "Dune"}})"), "without blanks"));
    CHECK(job_of(R"("variety": {"players": {"anyone": {"at_least": 1}}})").limits.variety.players.size() ==
          1);
}

TEST_CASE("teams and servers of a match are those of the roster, and the teams take turns") {
    const std::string roster =
        R"("roster": {"players": {"A1": {"team": "Dune", "name": "Mara Kjell"}, "A2": "Dune", "B1": "Tide", "B2": "Tide"}}, )";
    const Job job = job_of(
        roster +
        R"("match": {"teams": ["Dune", "Tide"], "sets": [{"left": "Tide", "serve": ["A2", "B1", "A1", "B2"]}, {}]})");
    CHECK(job.players.at("A1").team == "Dune");
    CHECK(job.players.at("A1").name == "Mara Kjell");
    CHECK(job.match.teams == std::vector<std::string>{"Dune", "Tide"});
    REQUIRE(job.match.sets.size() == 2);
    CHECK(job.match.sets[0].left == "Tide");
    CHECK(job.match.sets[0].serve == std::vector<std::string>{"A2", "B1", "A1", "B2"});
    CHECK(job.match.sets[1].left.empty());
    CHECK(job.match.technical_time_out);
    CHECK_FALSE(job_of(roster + R"("match": {"technical_time_out": false})").match.technical_time_out);

    const auto refused = [&](const std::string& match) { return complaint(roster + match); };
    CHECK(has(refused(R"("match": {"teams": ["Dune", "Tied"]})"), "did you mean \"Tide\"?"));
    CHECK(has(refused(R"("match": {"teams": ["Dune", "Dune"]})"), "/match/teams: found \"Dune\" twice"));
    CHECK(has(refused(R"("match": {"teams": ["Dune"]})"), "/match/teams: found 1"));
    CHECK(has(refused(R"("match": {"sets": [{"serve": ["A1", "A2"]}]})"),
              "/match/sets/0/serve/1: found A2 behind A1 of the same team"));
    CHECK(has(refused(R"("match": {"sets": [{"serve": ["A1", "B1", "A1"]}]})"), "a second time"));
    CHECK(has(complaint(R"("match": {"teams": ["Dune", "Tide"]})"), "fill roster.players first"));
}

TEST_CASE("a silent camera hears by another one") {
    const Job job = job_of(
        R"("cameras": {"C": {"clock_offset_s": -3.5, "sound_from": "R"}, "R": {"clock_offset_s": null}})");
    CHECK(job.cameras.at("C").clock_offset_s == -3.5);
    CHECK(job.cameras.at("C").sound_from == "R");
    CHECK(!job.cameras.at("R").clock_offset_s);
    CHECK(has(complaint(R"("cameras": {"C": {"sound_from": "C"}})"), "the camera itself"));
}

TEST_CASE("what the preview looks and sounds like arrives, and what it cannot be is named") {
    const PreviewForm usual = job_of("").preview; // as README says
    CHECK(usual.shape == PreviewShape::wide);
    CHECK(usual.longer_side_px == 640);
    CHECK(usual.loudness_lufs == -14);
    CHECK_FALSE(usual.burn_in);
    const PreviewForm all =
        job_of(
            R"("preview": {"shape": "tall", "longer_side_px": 1280, "loudness_lufs": -23, "burn_in": true})")
            .preview;
    CHECK(all.shape == PreviewShape::tall);
    CHECK(all.longer_side_px == 1280);
    CHECK(all.loudness_lufs == -23);
    CHECK(all.burn_in);
    CHECK(job_of(R"("preview": {"shape": "square"})").preview.shape == PreviewShape::square);
    CHECK(job_of(R"("preview": {"shape": "square"})").preview.longer_side_px == 640);
    CHECK(job_of(R"("preview": {"longer_side_px": 160})").preview.longer_side_px == 160);
    CHECK(job_of(R"("preview": {"longer_side_px": 3840})").preview.longer_side_px == 3840);

    CHECK(has(complaint(R"("preview": {"shape": "tal"})"),
              "day/job.json /preview/shape: found \"tal\", expected"));
    CHECK(has(complaint(R"("preview": {"shape": "tal"})"), "did you mean \"tall\"?"));
    CHECK(complaint(R"("preview": {"longer_side_px": 641})") ==
          "day/job.json /preview/longer_side_px: found 641, expected an even number, as 642: colour has half "
          "the pixels");
    CHECK(complaint(R"("preview": {"longer_side_px": 100})") ==
          "day/job.json /preview/longer_side_px: found 100, expected a whole number of pixels from 160 to "
          "3840");
    CHECK(complaint(R"("preview": {"loudness_lufs": 14})") ==
          "day/job.json /preview/loudness_lufs: found 14, expected a number of LUFS from -40 to -5");
    CHECK(has(complaint(R"("preview": {"burn_in": 1})"), "day/job.json /preview/burn_in: found 1"));
    CHECK(has(complaint(R"("preview": {"shpe": "tall"})"), "/preview"));
}

TEST_CASE("where what was found is kept, and how much of it, arrives; an empty folder keeps nothing") {
    const Analysis usual = job_of("").analysis; // as README says
    CHECK(usual.folder == "analysis");
    CHECK(usual.most_mb == 500);
    CHECK(job_of(R"("analysis": {})").analysis.folder == "analysis");
    CHECK(job_of(R"("analysis": {"folder": ""})").analysis.folder.empty());
    const Analysis all = job_of(R"("analysis": {"folder": "../kept", "most_mb": 20})").analysis;
    CHECK(all.folder == "../kept");
    CHECK(all.most_mb == 20);
    CHECK(job_of(R"("analysis": {"most_mb": 1})").analysis.most_mb == 1);
    CHECK(job_of(R"("analysis": {"most_mb": 1000000})").analysis.most_mb == 1'000'000);

    CHECK(
        has(complaint(R"("analysis": {"most_mb": 0})"), "day/job.json /analysis/most_mb: found 0, expected"));
    CHECK(has(complaint(R"("analysis": {"most_mb": 1000001})"), "/analysis/most_mb: found 1000001"));
    CHECK(has(complaint(R"("analysis": {"most_mb": 1.5})"), "/analysis/most_mb: found 1.5"));
    CHECK(has(complaint(R"("analysis": {"folder": null})"), "/analysis/folder: found null"));
    CHECK(has(complaint(R"("analysis": {"foldr": "x"})"), "did you mean \"folder\"?"));
    CHECK(has(complaint(R"("analysis": "kept")"), "/analysis: found \"kept\""));
}

TEST_CASE("several complaints come together, each with its place") {
    const std::string all =
        complaint(R"("pacing": {"shortest_s": 5, "lead_in_s": [0.3, 0.1]}, "delivery": {"rate": 100})");
    CHECK(has(all, "/delivery/rate: "));
    CHECK(has(all, "\n  /pacing/shortest_s: "));
    CHECK(has(all, "\n  /pacing/lead_in_s: "));
}

TEST_CASE("broken JSON and breaches of the schema are answered by place") {
    const auto broken = read_job("{\n\"downball\": 1,\n}", "job.json");
    REQUIRE_FALSE(broken);
    CHECK(broken.error().where == "job.json:3");
    CHECK(complaint(R"("pacing": {"longest_s": "four"})") ==
          "day/job.json /pacing/longest_s: found \"four\", expected a number of seconds above 0 and up to "
          "86400");
    CHECK_FALSE(read_job("{}", "job.json"));
}

TEST_CASE("the starter job reads back as the defaults, all of them in sight") {
    const std::string text = starter_job("music/\"song\".wav", {"cards/A", "cards/B"}, "friday");
    const auto job = read_job(text, "job.json");
    REQUIRE(job);
    CHECK(job->song.file == "music/\"song\".wav");
    CHECK(job->footage == std::vector<std::string>{"cards/A", "cards/B"});
    CHECK(job->name == "friday");
    CHECK_FALSE(job->song.start_s);
    CHECK_FALSE(job->song.jump);
    CHECK(job->limits.delivery.start == Frame{90000});
    const Pacing defaults;
    const Pacing& pacing = job->limits.pacing;
    CHECK(pacing.shortest_s == defaults.shortest_s);
    CHECK(pacing.longest_s == defaults.longest_s);
    CHECK(pacing.lead_in_min_s == defaults.lead_in_min_s);
    CHECK(pacing.lead_in_max_s == defaults.lead_in_max_s);
    CHECK(pacing.tail_s == defaults.tail_s);
    CHECK(pacing.cut_on == defaults.cut_on);
    CHECK(job->limits.variety.slowest == Variety{}.slowest);
    CHECK(job->limits.weights.coverage == Weights{}.coverage);
    CHECK(job->limits.story.order == Story{}.order);
    for (const char* member :
         {"\"shortest_s\"", "\"lead_in_s\"", "\"coverage\"", "\"locks\"", "\"licence\"", "\"slowest\"",
          "\"start_s\"", "\"jump\"", "\"shape\"", "\"longer_side_px\"", "\"loudness_lufs\"", "\"burn_in\""})
        CHECK(has(text, member));
}

TEST_CASE("a starter job reads back whatever the footage folder is called") {
    const auto name_of = [](const std::string& folder) {
        const auto job = read_job(starter_job("song.wav", {"clips"}, folder), "job.json");
        return job ? job->name : to_string(job.error());
    };
    CHECK(name_of("day 12:30") == "day 12_30");
    CHECK(name_of(".cards") == "cards");
    CHECK(name_of("--") == "reel");
    CHECK(name_of("") == "reel");
    CHECK(name_of("B\xC3\xA4lle") == "B\xC3\xA4lle");
    CHECK(name_of(std::string(250, 'x')) == std::string(200, 'x'));
    CHECK(name_of("\xC3\xA4" + std::string(199, 'x')) == std::string(199, 'x')); // no half letter
}

TEST_CASE("where no start label is said, it is an hour in either way of counting") {
    CHECK(job_of(R"("delivery": {"rate": 29.97})").limits.delivery.start == Frame{108000});
    CHECK(job_of(R"("delivery": {"rate": 29.97, "drop_frame": true})").limits.delivery.start ==
          Frame{107892}); // SMPTE ST 12-1: 108 numbers skipped in an hour
}
