// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/sealed.h"
#include "support/catch.h"

using namespace downball;
using namespace downball::analysis;
using text::JsonArray;
using text::JsonObject;

namespace {

const Document document{"0123456789abcdef.clip.json", "clip", {3, 2, 5}};
const JsonObject found{{"name", "ball"}, {"at_s", JsonArray{0.25, 1.5}}, {"none", nullptr}};

Document with_versions(std::vector<int> versions) {
    return {document.name, document.kind, std::move(versions)};
}

} // namespace

TEST_CASE("what was sealed comes back") {
    const auto read = unsealed(document, sealed(document, found));
    REQUIRE(read.seal == Seal::whole);
    CHECK(text::to_text(read.found) == text::to_text(found));
    CHECK(sealed(document, found) == sealed(document, found));
}

TEST_CASE("one flipped bit anywhere is seen") {
    const auto whole = sealed(document, found);
    int trusted = 0;
    for (std::size_t at = 0; at < whole.size(); ++at)
        for (int bit = 0; bit < 8; ++bit) {
            auto spoilt = whole;
            spoilt[at] = static_cast<char>(spoilt[at] ^ 1 << bit);
            trusted += unsealed(document, spoilt).seal != Seal::damaged;
        }
    CHECK(trusted == 0);
}

TEST_CASE("a file cut off or continued anywhere is seen") {
    const auto whole = sealed(document, found);
    int trusted = 0;
    for (std::size_t length = 0; length < whole.size(); ++length) {
        trusted += unsealed(document, whole.substr(0, length)).seal != Seal::damaged;
        trusted +=
            unsealed(document, whole.substr(0, length) + std::string(whole.size() - length, '\0')).seal !=
            Seal::damaged;
    }
    for (const char more : {'\n', ' ', '}', '\0', 'x'})
        trusted += unsealed(document, whole + more).seal != Seal::damaged;
    trusted += unsealed(document, whole + whole).seal != Seal::damaged;
    CHECK(trusted == 0);
}

TEST_CASE("a document of another kind, or with another one's name, is not believed") {
    const auto whole = sealed(document, found);
    CHECK(unsealed({document.name, "song", document.versions}, whole).seal == Seal::damaged);
    CHECK(unsealed({"fedcba9876543210.clip.json", "clip", document.versions}, whole).seal == Seal::damaged);
    CHECK(unsealed(document, sealed({document.name, "song", document.versions}, found)).seal ==
          Seal::damaged);
}

TEST_CASE("newer in any version is newer, older in some and newer in none is older") {
    const auto seal_of = [](std::vector<int> versions) {
        return unsealed(document, sealed(with_versions(std::move(versions)), found)).seal;
    };
    CHECK(seal_of({3, 2, 5}) == Seal::whole);
    for (const auto& newer : {std::vector{4, 2, 5}, {3, 3, 5}, {3, 2, 6}, {2, 3, 5}, {4, 1, 1}, {3, 2, 5, 1}})
        CHECK(seal_of(newer) == Seal::newer);
    for (const auto& older : {std::vector{2, 2, 5}, {3, 1, 5}, {3, 2, 4}, {1, 1, 1}, {3, 2}, {}})
        CHECK(seal_of(older) == Seal::older);
    CHECK(seal_of({3, 2, 2'000'000'000}) == Seal::newer);
}
