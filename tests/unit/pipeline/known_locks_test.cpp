// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/known_locks.h"
#include "support/catch.h"

using namespace downball;
using namespace downball::pipeline;

namespace {

Take take(const std::string& id, Kind kind, const std::vector<int>& contacts_ms = {}) {
    Take take;
    take.id = id;
    take.kind = kind;
    for (const int ms : contacts_ms) {
        Impact impact;
        impact.id = id + "#" + std::to_string(ms);
        impact.sound_s = ms / 1000.0;
        take.impacts.push_back(impact);
    }
    return take;
}

ShotLog some_log() {
    ShotLog log;
    log.takes = {take("T016", Kind::action, {1951, 3530, 3560}), take("T056", Kind::cutaway),
                 take("T057", Kind::action), take("A#1", Kind::action, {500})};
    return log;
}

// The one lock as it is known afterwards, or the complaint.
std::string known(const std::string& shot, ShotLog log = some_log()) {
    std::vector<Lock> locks(1);
    locks[0].shot = shot;
    const auto done = know_locks(locks, log, "job.json");
    if (done) return locks[0].shot;
    CHECK(done.error().fault == Fault::bad_input);
    CHECK(done.error().where == "job.json");
    return done.error().what;
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("locks on contacts and shots of the log stay as they are") {
    for (const auto* shot : {"T016#1951", "T016#3530", "T056@1", "T056@12", "A#1#500"})
        CHECK(known(shot) == shot);
}

TEST_CASE("a contact heard anew within 20 ms is the one that the lock names, and a note says so") {
    CHECK(known("T016#1931") == "T016#1951");
    CHECK(known("T016#1971") == "T016#1951");
    CHECK(known("T016#3544") == "T016#3530"); // the nearer one
    CHECK(known("T016#3545") == "T016#3530"); // as near to both: the earlier
    CHECK(known("T016#3546") == "T016#3560");
    CHECK(has(known("T016#1930"), "/locks/0: found \"T016#1930\", which no shot of this log can be"));
    CHECK(has(known("T016#1972"), "did you mean T016#1951?"));

    ShotLog log = some_log();
    std::vector<Lock> locks(2);
    locks[0].shot = "T016#3530";
    locks[1].shot = "T016#1940";
    REQUIRE(know_locks(locks, log, "job.json"));
    CHECK(log.notes ==
          std::vector<std::string>{"locks: T016#1940 is T016#1951 by now, the same contact heard anew"});
}

TEST_CASE("an unknown lock is refused with the nearest id") {
    CHECK(has(known("T061#3530"), "did you mean T016#3530?"));
    CHECK(has(known("T016#353"), "did you mean T016#3530?"));
    CHECK(has(known("T016@1"), "T016 has T016#1951, T016#3530, T016#3560; correct the id"));
    CHECK(has(known("T016#999999"), "T016 has T016#1951, T016#3530, T016#3560; correct the id"));
    CHECK(has(known("T056#100"), "did you mean T056@1?"));
    CHECK(has(known("T056@0"), "did you mean T056@1?"));
    CHECK(has(known("T056"), "did you mean T056@1?"));
    CHECK(has(known("T057#100"), "T057 has no contacts"));
    CHECK(has(known("nothing like it"), "take the lock away"));
    CHECK(has(known("T016#"), "no shot of this log"));
    CHECK(has(known("T016#99999999999999999999"), "no shot of this log"));
}

TEST_CASE("all unknown locks are told at once, with their places in the job") {
    ShotLog log = some_log();
    std::vector<Lock> locks(3);
    locks[0].shot = "T1#1";
    locks[1].shot = "T056@1";
    locks[2].shot = "T2#2";
    const auto done = know_locks(locks, log, "job.json");
    REQUIRE_FALSE(done);
    CHECK(has(done.error().what, "/locks/0: "));
    CHECK(has(done.error().what, "\n/locks/2: "));
}
