// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/hand_page.h"

#include "downball/text/html.h"
#include "downball/write/sync.h"

using namespace downball;
using test::HandPage;

namespace {

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t times = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
        ++times;
    return times;
}

} // namespace

TEST_CASE("stills are wanted of each cut and each contact, each frame once") {
    auto cut = test::hand_cut();
    const auto wanted = page::stills_wanted(cut);
    CHECK(std::ranges::is_sorted(wanted));
    for (const auto& event : cut.video) {
        if (event.part == 0) CHECK(std::ranges::count(wanted, event.record.in) == 1);
        for (const auto& contact : event.contacts)
            CHECK(std::ranges::count(wanted, contact.at) == 1);
    }
    cut.video[0].contacts = {{cut.video[0].record.in, "serve"}};
    CHECK(std::ranges::count(page::stills_wanted(cut), cut.video[0].record.in) == 1);
}

TEST_CASE("the page has a block and a card for each shot, in their places") {
    const HandPage hand;
    const auto page = hand.page();
    const auto shots = hand.hand.plan.shots.size();
    CHECK(count(page, "data-in=\"") == shots);
    CHECK(count(page, "<li class=\"card ") == shots);
    const auto& second = hand.hand.plan.shots[1].record;
    const double share = 100.0 / static_cast<double>(hand.hand.cut.length.n);
    CHECK(
        holds(page, fmt::format("left:{:.4f}%;width:{:.4f}%\" data-in=\"{}\" data-out=\"{}\"",
                                static_cast<double>(second.in.n) * share,
                                static_cast<double>(second.length().n) * share, second.in.n, second.out.n)));
}

TEST_CASE("what comes from names, notes and files stays text") {
    HandPage hand;
    const std::string tag = "<script>alert('1')</script>\"&";
    hand.hand.cut.name = hand.song = hand.names["mara"] = hand.hand.log.takes[0].note = tag;
    hand.hand.log.takes[0].camera = hand.hand.log.media[0].name = hand.hand.cut.media[0].name = tag;
    hand.warnings = {{tag, FrameRange{{0}, {5}}}};
    const auto page = hand.page();
    CHECK(count(page, "<script") == 1); // its own
    CHECK(!holds(page, tag));
    CHECK(holds(page, text::html_escaped(tag)));
}

TEST_CASE(
    "sync errors stand in milliseconds and frames, and those beyond ITU-R BT.1359-1 are told as noticeable") {
    HandPage hand;
    hand.hand.plan.shots.resize(1);
    hand.hand.cut.video.resize(1);
    auto& impact = hand.hand.log.takes[0].impacts[0];
    REQUIRE(hand.hand.plan.shots[0].anchors.size() == 1);
    REQUIRE(hand.hand.cut.video[0].contacts.size() == 1);
    const auto with = [&](double late_s) {
        const auto& beat = hand.hand.beats.beats[hand.hand.plan.shots[0].anchors[0].beat];
        const auto now = write::delivered(hand.hand.cut, hand.hand.cut.video[0], impact, beat);
        impact.picture_s += (late_s - now.error_s) * hand.hand.cut.video[0].speed.to_double();
        return hand.page();
    };
    CHECK(holds(with(0.0449), "44.9&nbsp;ms late (1.12&nbsp;frames)</span>"));
    CHECK(holds(with(0.0451), "45.1&nbsp;ms late (1.13&nbsp;frames), noticeable"));
    CHECK(holds(with(-0.1249), "124.9&nbsp;ms early (3.12&nbsp;frames)</span>"));
    CHECK(holds(with(-0.1251), "125.1&nbsp;ms early (3.13&nbsp;frames), noticeable"));
}

TEST_CASE("who is seen stands in the tables by the name, and without one by the id") {
    HandPage hand;
    CHECK(holds(hand.page(), "<th scope=\"row\"><bdi>Mara Kjell</bdi></th>"));
    hand.names.clear();
    CHECK(holds(hand.page(), "<th scope=\"row\"><bdi>mara</bdi></th>"));
}

TEST_CASE("the preview is asked for by an address that its name cannot break out of") {
    HandPage hand;
    hand.movie = "a b\"#?%<.mp4";
    CHECK(holds(hand.page(), "src=\"./a%20b%22%23%3F%25%3C.mp4\""));
    hand.movie.clear();
    const auto page = hand.page();
    CHECK(!holds(page, "<video"));
    CHECK(holds(page, "--preview"));
}

// An <output> is a live region (HTML Accessibility API Mappings 1.0: role status); this one changes with each picture.
TEST_CASE("the label that runs with the preview is not read out while it runs") {
    CHECK(holds(HandPage().page(), "<output id=\"now\" aria-live=\"off\">"));
}

TEST_CASE("a picture that there is none of is told") {
    HandPage hand;
    CHECK(count(hand.page(), "data:image/jpeg;base64,/9ggcGljdHVyZQ==") == 1);
    hand.stills.clear();
    CHECK(count(hand.page(), "no picture") == page::stills_wanted(hand.hand.cut).size());
}

TEST_CASE("warnings with a place stand on the song and lead there; the others are grouped") {
    HandPage hand;
    hand.warnings = {{"T1: blurred"}, {"T2: blurred"}, {"it flashes", FrameRange{{25}, {50}}}};
    const auto page = hand.page();
    CHECK(holds(page, "T1, T2: blurred"));
    CHECK(holds(page, "data-at=\"25\">show"));
    CHECK(holds(page, "href=\"#warning-3\""));
    CHECK(holds(page, "id=\"warning-3\""));
}

TEST_CASE("without a song's peaks, sections, bars or warnings the page still stands") {
    HandPage hand;
    hand.waveform.clear();
    hand.warnings.clear();
    hand.hand.beats.sections.clear();
    for (auto& beat : hand.hand.beats.beats)
        beat.position = 0;
    const auto page = hand.page();
    CHECK(holds(page, "<p>None.</p>"));
    CHECK(!holds(page, "class=\"peaks\""));
}

TEST_CASE("the same input gives the same page") {
    CHECK(HandPage().page() == HandPage().page());
}

TEST_CASE("a page of 100 shots with a picture of 8 kB at each cut and contact stays below 3 MB") {
    HandPage hand;
    auto& timeline = hand.hand.cut;
    const auto event = timeline.video[0];
    const auto shot = hand.hand.plan.shots[0];
    timeline.video.clear();
    hand.hand.plan.shots.clear();
    for (std::int64_t n = 0; n < 100; ++n) {
        timeline.video.push_back(event);
        timeline.video.back().record = {Frame{15 * n}, Frame{15 * n + 15}};
        timeline.video.back().contacts = {{Frame{15 * n + 4}, "set"}};
        hand.hand.plan.shots.push_back(shot);
        for (const std::int64_t at : {0, 4})
            hand.stills[Frame{15 * n + at}] = std::string(10667, 'x');
    }
    timeline.length = Frame{1500};
    hand.waveform.assign(1600, 0.5f);
    const auto page = hand.page();
    CHECK(count(page, "data:image/jpeg") == 200);
    CHECK(page.size() < 3'000'000);
}
