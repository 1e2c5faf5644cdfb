// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Several moments of one long clip, a row each.
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

#include "downball/shotlog/log.h"

#include <array>

using namespace downball;
using namespace downball::shotlog;

namespace {

MediaInfo long_clip() {
    MediaInfo media = media_of("long.mov", 60);
    media.start = StartTimecode{"10:00:00:00", *from_timecode("10:00:00:00", Rate(25), Counting::non_drop),
                                Rate(25), Counting::non_drop};
    return media;
}

ShotLog bound(const std::string& rows) {
    const auto log = read_log("id,file,kind,in,out,contacts\n" + rows, "log.csv", {});
    if (!log) FAIL(to_string(log.error()));
    Footage footage;
    footage.media["long.mov"] = long_clip();
    const auto shots = bind(*log, footage);
    if (!shots) FAIL(to_string(shots.error()));
    return *shots;
}

std::vector<double> contacts_s(const Take& take) {
    std::vector<double> all;
    for (const Impact& impact : take.impacts)
        all.push_back(impact.sound_s);
    return all;
}

using Seconds = std::vector<double>;

} // namespace

TEST_CASE("each row of a file has the contacts between its in and out, whatever the notation") {
    const std::string heard = "1.000:0.90 2.500:0.80 4.000:0.90 5.500:0.70 8.000:0.90";
    for (const auto& [in, middle, out] :
         std::vector<std::array<const char*, 3>>{{"2", "4", "6"},
                                                 {"2.0", "4.000", "6.00"},
                                                 {"50f", "100f", "150f"},
                                                 {"10:00:02:00", "10:00:04:00", "10:00:06:00"},
                                                 {"50F", "4", "10:00:06:00"}}) {
        const ShotLog log =
            bound(std::string("T1,long.mov,action,") + in + "," + middle + "," + heard +
                  "\nT2,long.mov,action," + middle + "," + out + "," + heard + "\nT3,long.mov,action,," + in +
                  "," + heard + "\nT4,long.mov,action," + out + ",," + heard + "\n");
        REQUIRE(log.takes.size() == 4);
        CHECK(log.media.size() == 1);
        // A contact on a border belongs to the row that begins there alone.
        CHECK(contacts_s(log.takes[0]) == Seconds{2.5});
        CHECK(contacts_s(log.takes[1]) == Seconds{4, 5.5});
        CHECK(contacts_s(log.takes[2]) == Seconds{1});
        CHECK(contacts_s(log.takes[3]) == Seconds{8});
        CHECK(log.takes[1].impacts[0].id == "T2#4000");
    }
}

TEST_CASE("a contact in two rows that overlap is one instant of one file, and once in each") {
    const ShotLog log = bound("T1,long.mov,action,1,4,2.5:0.9 "
                              "3.5:0.8\nT2,long.mov,action,75f,10:00:06:00,2.5:0.9 3.5:0.8 3.500:0.8\n");
    CHECK(contacts_s(log.takes[0]) == Seconds{2.5, 3.5});
    CHECK(contacts_s(log.takes[1]) == Seconds{3.5});
    // By these two whoever cuts knows that it is one contact.
    CHECK(log.takes[0].media == log.takes[1].media);
    CHECK(log.takes[0].impacts[1].sound_s == log.takes[1].impacts[0].sound_s);
    CHECK(log.takes[0].impacts[1].id != log.takes[1].impacts[0].id);
}

TEST_CASE("a row added by hand for a known file gets id and contacts, and the others stay") {
    const std::string rows = "id,file,kind,in,out,contacts\n"
                             "T001,long.mov,action,50f,4,2.5\n"
                             "T002,long.mov,action,10:00:04:00,150f,4.000:0.90\n"
                             ",./long.mov,action,\"00:00:06:00\",8.5,\n"
                             "T2,long.mov,cutaway,,,-\n";
    FoundClip clip{"long.mov", long_clip(), Hearing{}};
    clip.hearing->contacts = {{2.5, 0.9, 0.5}, {7, 0.8, 0.5}};
    const auto table = *text::read_csv(rows, "log.csv");
    const Merged merged = merge(table, std::vector<FoundClip>{clip});
    CHECK(merged.added == 0);
    REQUIRE(merged.table.rows.size() == 4);
    const text::Columns column(merged.table);
    for (std::size_t row : {0u, 1u, 3u})
        for (std::size_t i = 0; i < table.header.size(); ++i)
            CHECK(merged.table.rows[row][i] == table.rows[row][i]);
    CHECK(merged.table.rows[2][0] == "T003");
    CHECK(merged.table.rows[2][1] == "./long.mov");
    CHECK(merged.table.rows[2][5] == "2.500:0.90 7.000:0.80");
    for (const auto& row : merged.table.rows)
        CHECK(row[static_cast<std::size_t>(column("duration_s"))] == "60.000");
}
