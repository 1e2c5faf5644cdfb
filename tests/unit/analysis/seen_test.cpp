// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/seen.h"
#include "support/catch.h"
#include "support/temp_folder.h"

#include "downball/files/files.h"

#include <chrono>
#include <fcntl.h>
#include <fstream>
#include <sys/stat.h>

using namespace downball;
using namespace downball::analysis;
using downball::test::TempFolder;

namespace {

const Identity one{"cards/A 001.mp4", "0123456789abcdef", 1234, 1'700'000'000'123'456'789,
                   1'700'000'001'000'000'000};
const Identity two{"../ä/球.wav", "fedcba9876543210", 9'000'000'000, -5, 0};

Seen with(const std::vector<Identity>& files) {
    Seen seen;
    for (const auto& file : files)
        seen.add(file);
    return seen;
}

} // namespace

TEST_CASE("a list that is taken up again knows the same files") {
    const auto text = with({one, two}).text();
    CHECK(with({two, one}).text() == text);
    Seen again;
    CHECK(again.empty());
    REQUIRE(again.take_up(text));
    CHECK_FALSE(again.empty());
    CHECK(again.id_of(one) == one.id);
    CHECK(again.id_of(two) == two.id);
    CHECK(again.text() == text);
    Seen nothing;
    CHECK(nothing.take_up(Seen().text()));
    CHECK(nothing.empty());
}

TEST_CASE("a file of another path, size or time is not known") {
    const auto seen = with({one});
    auto other = one;
    other.path = "cards/A 002.mp4";
    CHECK(seen.id_of(other).empty());
    other = one;
    ++other.bytes;
    CHECK(seen.id_of(other).empty());
    other = one;
    ++other.modified_ns;
    CHECK(seen.id_of(other).empty());
    other = one;
    --other.changed_ns;
    CHECK(seen.id_of(other).empty());
    CHECK(seen.id_of(one) == one.id);
}

TEST_CASE("of several lists what was taken up first counts, and what is seen now counts more") {
    auto earlier = one, now = one;
    earlier.id = "aaaaaaaaaaaaaaaa";
    now.id = "bbbbbbbbbbbbbbbb";
    Seen seen;
    REQUIRE(seen.take_up(with({one}).text()));
    REQUIRE(seen.take_up(with({earlier, two}).text()));
    CHECK(seen.id_of(one) == one.id);
    CHECK(seen.id_of(two) == two.id);
    seen.add(now);
    CHECK(seen.id_of(one) == now.id);
}

TEST_CASE("a damaged list is refused whole") {
    const auto text = with({one, two}).text();
    int trusted = 0;
    for (std::size_t at = 0; at < text.size(); ++at)
        for (int bit = 0; bit < 8; ++bit) {
            auto spoilt = text;
            spoilt[at] = static_cast<char>(spoilt[at] ^ 1 << bit);
            Seen seen;
            trusted += seen.take_up(spoilt) || !seen.empty();
        }
    for (std::size_t length = 0; length < text.size(); ++length) {
        Seen seen;
        trusted += seen.take_up(text.substr(0, length)) || !seen.empty();
    }
    CHECK(trusted == 0);
}

TEST_CASE("a list that is sealed but no list is refused") {
    for (const std::string lines :
         {"id\t1\t2\t3\n", "id\tmany\t2\t3\tpath\n", "id\t1\t2\t3\t\n", "\n", "id\n"}) {
        INFO(lines);
        CHECK_FALSE(Seen().take_up(files::content_hash(lines) + "\n" + lines));
    }
}

TEST_CASE("a path that would break a line is not taken") {
    for (const auto* path : {"a\tb.mp4", "a\nb.mp4"}) {
        auto file = one;
        file.path = path;
        const auto seen = with({file, two});
        CHECK(seen.id_of(file).empty());
        Seen again;
        CHECK(again.take_up(seen.text()));
        CHECK(again.id_of(two) == two.id);
    }
}

TEST_CASE("a stamp changes with the size and either time, and a file that is not there has none") {
    TempFolder folder;
    const auto path = folder / "a.mp4";
    CHECK_FALSE(stamp_of(path));
    std::ofstream(path) << "abc";
    const auto before = stamp_of(path);
    REQUIRE(before);
    CHECK(before->bytes == 3);
    CHECK(just_changed(*before));
    // As a copy that keeps the time of the original: the time of the change tells.
    const timespec times[2]{{1'600'000'000, 5}, {1'600'000'000, 5}};
    REQUIRE(::utimensat(AT_FDCWD, path.c_str(), times, 0) == 0);
    const auto dated = stamp_of(path);
    REQUIRE(dated);
    CHECK(dated->modified_ns == 1'600'000'000'000'000'005);
    CHECK(dated->changed_ns >= before->changed_ns);
    CHECK(just_changed(*dated));
}

TEST_CASE("a file is settled some seconds after its last change") {
    using namespace std::chrono;
    const auto now_ns = duration_cast<nanoseconds>(system_clock::now().time_since_epoch()).count();
    constexpr std::int64_t second_ns = 1'000'000'000;
    CHECK(just_changed({"a", "", 1, now_ns, now_ns - 3600 * second_ns}));
    CHECK(just_changed({"a", "", 1, now_ns - 3600 * second_ns, now_ns}));
    CHECK(just_changed({"a", "", 1, now_ns - 2 * second_ns, 0}));
    CHECK(just_changed({"a", "", 1, now_ns + 60 * second_ns, 0})); // by a clock that is ahead of ours
    CHECK_FALSE(just_changed({"a", "", 1, now_ns - 10 * second_ns, now_ns - 10 * second_ns}));
}
