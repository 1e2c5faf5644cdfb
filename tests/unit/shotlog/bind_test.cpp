// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

#include "downball/shotlog/log.h"

using namespace downball;
using namespace downball::shotlog;

namespace {

Log log_of(const std::string& text) {
    const auto log = read_log(text, "log.csv", {});
    if (!log) FAIL(to_string(log.error()));
    return *log;
}

Footage footage_of(std::initializer_list<MediaInfo> media) {
    Footage footage;
    for (const MediaInfo& one : media)
        footage.media[one.name] = one;
    return footage;
}

ShotLog bound(const std::string& text, const Footage& footage) {
    const auto shots = bind(log_of(text), footage);
    if (!shots) FAIL(to_string(shots.error()));
    return *shots;
}

std::string complaint(const std::string& text, const Footage& footage) {
    const auto shots = bind(log_of(text), footage);
    REQUIRE_FALSE(shots);
    CHECK(shots.error().fault == Fault::bad_input);
    CHECK(shots.error().where == "log.csv");
    return shots.error().what;
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

bool has_note(const ShotLog& log, const std::string& part) {
    for (const std::string& note : log.notes)
        if (has(note, part)) return true;
    return false;
}

} // namespace

TEST_CASE("a row without in and out is the whole file, and two rows share one file") {
    const ShotLog log = bound("id,file,kind,in,out\nT1,a,cutaway,,\nT2,a,cutaway,50f,00:00:04:00\n",
                              footage_of({media_of("a")}));
    REQUIRE(log.takes.size() == 2);
    CHECK(log.media.size() == 1);
    CHECK(log.takes[0].in_s == 0);
    CHECK(log.takes[0].out_s == 10);
    CHECK(log.takes[1].in_s == 2);
    CHECK(log.takes[1].out_s == Approx(4).margin(1e-12));
    CHECK(log.takes[1].line == 3);
}

TEST_CASE("an out a rounding past the end is the end; further past is refused") {
    const Footage footage = footage_of({media_of("a", 9.98)});
    CHECK(bound("id,file,kind,out\nT1,a,cutaway,10\n", footage).takes[0].out_s == 9.98);
    CHECK(complaint("id,file,kind,out\nT1,a,cutaway,11\n", footage) ==
          "line 2, column out: found 11, past the end of a, which lasts 9.980 s");
    CHECK(has(complaint("id,file,kind,in,out\nT1,a,cutaway,5,5\n", footage),
              "line 2, column in: the take begins at 5.000 s"));
    CHECK(has(complaint("id,file,kind,out\nT1,a,cutaway,00:00:01:99\n", footage), "line 2, column out: "));
}

TEST_CASE("complaints of all rows come at once") {
    const std::string all = complaint("id,file,kind,in,out,contacts,marks\nT1,gone,action,,,,\nT2,a,action,2,"
                                      "4,1.5,4.5\nT3,a,action,9,3,,\n",
                                      footage_of({media_of("a")}));
    CHECK(has(all, "line 2, column file: found \"gone\", which is not among the footage"));
    CHECK(has(all, "\nline 3, column marks: found 4.5, outside the take, which runs from 2.000 to 4.000 s"));
    CHECK(has(all, "\nline 3, column contacts: found 1.500, whose picture at 1.500 s is outside the take"));
    CHECK(has(all, "\nline 4, column in: "));
}

TEST_CASE("contacts a hearing wrote may lie outside the take, and are then not in it") {
    Footage footage = footage_of({media_of("a"), media_of("b")});
    footage.heard["b"].contacts = {{1.0, 0.9, 0.5}, {3.0, 0.8, 0.6}};
    const ShotLog log =
        bound("id,file,kind,in,out,contacts\nT1,a,action,2,4,1.5:0.9 2.5:0.8\nT2,b,action,2,4,\n", footage);
    REQUIRE(log.takes[0].impacts.size() == 1);
    CHECK(log.takes[0].impacts[0].id == "T1#2500");
    CHECK(log.takes[0].impacts[0].source == ContactSource::logged);
    REQUIRE(log.takes[1].impacts.size() == 1);
    CHECK(log.takes[1].impacts[0].strength == 0.6);
    CHECK(log.takes[1].impacts[0].source == ContactSource::heard);
}

TEST_CASE("what the log says was heard comes before a new hearing") {
    Footage footage = footage_of({media_of("a"), media_of("b")});
    footage.heard["a"].contacts = footage.heard["b"].contacts = {{1.0, 0.9, 0.5}};
    const ShotLog log = bound("id,file,kind,contacts\nT1,a,action,-\nT2,b,action,2.0\n", footage);
    CHECK(log.takes[0].impacts.empty());
    REQUIRE(log.takes[1].impacts.size() == 1);
    CHECK(log.takes[1].impacts[0].sound_s == 2.0);
}

TEST_CASE("how hard a contact sounds is known of a new hearing alone, and a mark leaves it") {
    Footage footage = footage_of({media_of("a")});
    footage.heard["a"].contacts = {{1.0, 0.9, 0.5, 0.8, 0}};
    const ShotLog log =
        bound("id,file,kind,contacts,marks\nT1,a,action,,1.01 3.0\nT2,a,action,1.0:0.9,\n", footage);
    REQUIRE(log.takes[0].impacts.size() == 2);
    CHECK(log.takes[0].impacts[0].hard == 0.8);
    CHECK_FALSE(log.takes[0].impacts[1].hard);
    CHECK_FALSE(log.takes[1].impacts[0].hard);
}

TEST_CASE("law: order and repeats in a cell of contacts change nothing") {
    const auto at = [](const std::string& contacts) {
        return bound("id,file,kind,contacts\nT1,a,action," + contacts + "\n", footage_of({media_of("a")}))
            .takes[0]
            .impacts;
    };
    const auto plain = at("1.5:0.9 2.5 4:0.6");
    REQUIRE(plain.size() == 3);
    for (const char* cell :
         {"4:0.6 1.5:0.9 2.5", "2.5 2.5 1.5:0.9 4:0.6 1.500:0.90", " 2.50:0.3 4:0.6 2.5  1.5:0.9"}) {
        const auto same = at(cell);
        REQUIRE(same.size() == plain.size());
        for (std::size_t i = 0; i < plain.size(); ++i) {
            CHECK(same[i].id == plain[i].id);
            CHECK(same[i].confidence == plain[i].confidence);
        }
    }
}

TEST_CASE("distance, camera offset and air make the picture instant; marks are left alone") {
    Footage footage = footage_of({media_of("a")});
    footage.air_temperature_c = 30;
    footage.cameras["A"] = {0.02, std::nullopt, std::nullopt};
    const ShotLog log =
        bound("id,file,kind,camera,contacts,marks,distance_m\nT1,a,action,A,5.0,7.0,15\n", footage);
    REQUIRE(log.takes[0].impacts.size() == 2);
    CHECK(log.takes[0].impacts[0].picture_s == Approx(5.0 - 0.02 - 15 / 349.005).margin(1e-6));
    CHECK(log.takes[0].impacts[1].picture_s == 7.0);
    CHECK(log.takes[0].impacts[1].source == ContactSource::mark);
}

TEST_CASE("skills land on the impacts") {
    const ShotLog log = bound("id,file,kind,skills,contacts\nT1,a,action,set attack,2:0.5 3:0.9\n",
                              footage_of({media_of("a")}));
    CHECK(log.takes[0].impacts[0].skill == Skill::set);
    CHECK(log.takes[0].impacts[1].skill == Skill::attack);
}

TEST_CASE("a guess which contact is which skill is told, in takes that may be used") {
    const ShotLog log = bound("id,file,kind,skills,contacts,use\nT1,a,action,set attack,2:0.9 3:0.9,\n"
                              "T2,a,action,dig,2:0.9 3:0.9,\nT3,a,action,dig,2:0.9 3:0.9,never\n",
                              footage_of({media_of("a")}));
    CHECK(log.takes[0].impacts[1].skill_sure);
    CHECK_FALSE(has_note(log, "T1: which contact"));
    CHECK(has_note(
        log, "T2: the contacts heard do not fit the skills logged one to one, so which is which is a guess"));
    CHECK_FALSE(has_note(log, "T3: which contact"));
}

TEST_CASE("contacts below the job's confidence floor do not count against a sure skill") {
    Footage footage = footage_of({media_of("a")});
    footage.confidence_floor = 0.5;
    const ShotLog log =
        bound("id,file,kind,skills,contacts\nT1,a,action,set attack,2:0.9 2.4:0.3 3:0.9\n", footage);
    CHECK(log.takes[0].impacts[2].skill == Skill::attack);
    CHECK(log.takes[0].impacts[2].skill_sure);
}

TEST_CASE("what is worth telling is told") {
    MediaInfo silent = media_of("s");
    silent.audio.reset();
    Footage footage = footage_of({media_of("a"), silent});
    footage.cameras["cam_A"] = {};
    footage.heard["a"].notes = {"clipped from 3.0 s"};
    const ShotLog log = bound(
        "id,file,kind,camera,contacts,capture_fps\nT1,a,action,cam_B,,\nT2,s,action,,,\nT3,a,action,,2.0,\n"
        "T4,s,action,,1.0,5\n",
        footage);
    CHECK(has_note(log, "T1: no contact heard; enter marks, or tag it cutaway"));
    CHECK(has_note(log, "T2: the file has no sound"));
    CHECK(has_note(log, "did you mean cam_A?"));
    CHECK(has_note(log, "T3: no distance is known"));
    CHECK(has_note(log, "T4: no distance is known"));
    CHECK(has_note(log, "cameras.cam_A: no row of the log has this camera"));
    CHECK(has_note(log, "did you mean cam_B?"));
    CHECK(has_note(log, "a: clipped from 3.0 s"));
    CHECK(has_note(log, "line 5: s has no sound"));
    CHECK(has_note(log, "capture_fps 5 is below the 25.000"));
}

TEST_CASE("contacts outside in and out are not called unheard") {
    const ShotLog log =
        bound("id,file,kind,in,out,contacts\nT1,a,action,5,6,1.0:0.9 2.0:0.9\n", footage_of({media_of("a")}));
    CHECK(has_note(log, "T1: all contacts heard lie outside in and out"));
    CHECK_FALSE(has_note(log, "no contact heard"));
}

TEST_CASE("a file without pictures can only be sound, and twins are told") {
    MediaInfo sound = media_of("w.wav");
    sound.has_video = false;
    CHECK(has(complaint("id,file,kind\nT1,w.wav,action\n", footage_of({sound})), "expected sound"));
    CHECK(bound("id,file,kind\nT1,w.wav,sound\n", footage_of({sound})).takes.size() == 1);
    MediaInfo twin = media_of("b");
    twin.id = media_of("a").id;
    CHECK(has_note(bound("id,file,kind\nT1,a,cutaway\nT2,b,cutaway\n", footage_of({media_of("a"), twin})),
                   "the same bytes"));
}

TEST_CASE("ends are the parity of the changes so far") {
    const ShotLog log = bound("id,file,kind,set,score\nT1,a,cutaway,1,3-3\nT2,a,cutaway,1,4-3\nT3,a,cutaway,"
                              "2,0-0\nT4,a,cutaway,3,3-2\n"
                              "T5,a,cutaway,,\n",
                              footage_of({media_of("a")}));
    const int expected[] = {0, 1, 1, 1, 0};
    for (std::size_t i = 0; i < 5; ++i)
        CHECK(log.takes[i].ends == expected[i]);
}

TEST_CASE("order follows set and points; other rows stay with their moment or behind the row before") {
    const ShotLog log = bound("id,file,kind,moment,set,score\n"
                              "T1,a,establishing,,,\n"
                              "T2,a,cutaway,R9,2,1-0\n"
                              "T3,a,reaction,,,\n"
                              "T4,a,cutaway,R1,1,5-5\n"
                              "T5,a,reaction,R9,,\n",
                              footage_of({media_of("a")}));
    const int expected[] = {0, 2, 3, 1, 4};
    for (std::size_t i = 0; i < 5; ++i)
        CHECK(log.takes[i].order == expected[i]);
}

TEST_CASE("law: shifting a whole clip's contacts shifts its impacts") {
    const auto at = [](const std::string& contacts) {
        return bound("id,file,kind,contacts,distance_m\nT1,a,action," + contacts + ",20\n",
                     footage_of({media_of("a")}))
            .takes[0]
            .impacts;
    };
    const auto before = at("2.0 3.5"), after = at("2.5 4.0");
    REQUIRE(before.size() == after.size());
    for (std::size_t i = 0; i < before.size(); ++i)
        CHECK(after[i].picture_s - before[i].picture_s == Approx(0.5).margin(1e-12));
}
