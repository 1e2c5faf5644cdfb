// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/last_cut.h"
#include "support/catch.h"
#include "support/hand_report.h"
#include "support/temp_folder.h"

#include <fstream>

using namespace downball;

namespace {

// Of a report with this text.
Result<std::optional<pipeline::LastRun>> read(const std::string& text) {
    const test::TempFolder folder;
    const auto path = folder / "reel.report.json";
    std::ofstream(path) << text;
    return pipeline::read_last_run(path);
}

} // namespace

TEST_CASE("the last cut is read from its report, also from one that does not say why takes were left out") {
    auto text = test::HandReport().text();
    const std::string why = "\"why\": ";
    for (const bool says_why : {true, false}) {
        if (!says_why) { // with the comma before it
            const auto from = text.rfind(',', text.find(why)), to = text.find('}', from);
            REQUIRE(text.find(why) != std::string::npos);
            text.erase(from, to - from);
            REQUIRE(text.find(why) == std::string::npos);
        }
        const auto run = read(text);
        INFO((run ? "" : to_string(run.error())));
        REQUIRE(run);
        REQUIRE(*run);
        CHECK((*run)->cut.shots.size() == test::HandReport().plan.shots.size());
    }
}

TEST_CASE("where no report is, there was no cut; what is none is an error") {
    const test::TempFolder folder;
    const auto run = pipeline::read_last_run(folder / "reel.report.json");
    REQUIRE(run);
    CHECK(!*run);
    CHECK(!read("{}"));
    CHECK(!read("no JSON"));
}
