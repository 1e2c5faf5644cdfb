// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Scores the contact detector on generated clips that no fit has seen, beside general onset detectors and a
// detector that hears nothing. Prints figures; changes nothing.
//   impacts_bench [clips a split = 15] [first seed = 1] [--bank FOLDER] [--figures FILE] [--own]
#include "bench/impacts/bank.h"
#include "bench/impacts/tables.h"

#include <CLI/CLI.hpp>
#include <cstdio>
#include <optional>

using namespace downball;
using namespace downball::bench;

namespace {

struct Recorded {
    test::RecordedSounds fit, apart, blows; // blows: apart, with blows of other shapes among the hits
};

Recorded load(const std::string& bank) {
    Recorded recorded{load_bank(bank, "fit"), load_bank(bank, "apart"), {}};
    recorded.blows = recorded.apart;
    auto& hits = recorded.blows.by_class[static_cast<std::size_t>(test::SoundClass::hit)];
    for (const auto& blow : recorded.apart.of(test::SoundClass::blow))
        hits.push_back(blow);
    return recorded;
}

// A null pointer leaves out what is recorded.
std::vector<Material> materials(const Recorded* recorded) {
    using test::BallFamily;
    std::vector<Material> all{
        {"modes", "made by rule, in the fit: a few damped partials", true, BallFamily::modes},
        {"thump", "made by rule, in the fit: bands of noise", true, BallFamily::thump},
        {"shell", "made by rule, in no fit: the partials of a shell", false, BallFamily::shell}};
    if (recorded) {
        all.push_back({"beds apart", "balls like modes, in about half over recorded beds in no fit", false,
                       BallFamily::modes, &recorded->apart});
        all.push_back({"rec. apart", "recorded balls, and in about half recorded beds, in no fit", false,
                       BallFamily::recorded, &recorded->apart});
        all.push_back(
            {"blows", "the same with blows of any shape", false, BallFamily::recorded, &recorded->blows});
        all.push_back({"rec. fit", "like rec. apart, of those that the fit may use", true,
                       BallFamily::recorded, &recorded->fit});
    }
    return all;
}

std::vector<const Material*> some(const Plan& plan, bool first_section) {
    std::vector<const Material*> out;
    for (const Material& m : plan.materials)
        if ((m.seen && !m.recorded) == first_section) out.push_back(&m);
    return out;
}

void print_all(const std::vector<Trial>& trials, const Plan& plan) {
    std::printf(
        "%d clips of %.0f s a split, seeds from %llu (those of the fit start at 100000). all: every split, "
        "`empty` too.\nF50, F20, F10: F within 50, 20, 10 ms at the floor of %.1f; err: standard error of "
        "F50; "
        "AP: average precision; bias: median of\nfound - true, ms; |err|: its median size, ms; hard: recall "
        "of "
        "serve, attack and block; soft: of pass, set and dig; cpu: thread time,\nms a second of sound; "
        "stereo: "
        "of 48 kHz stereo alone. Balls:\n",
        plan.clips, plan.seconds, static_cast<unsigned long long>(plan.seed), impacts::default_floor);
    for (const Material& m : plan.materials)
        std::printf("  %-11s%s\n", m.name.c_str(), m.what.c_str());

    std::printf("\n1. KINDS OF BALL THAT ARE IN THE FIT\n");
    print_scores(trials, some(plan, true));
    std::printf("\n2. UNSEEN KINDS, and recorded ones of the fit beside them\n");
    print_scores(trials, some(plan, false));
    if (plan.peers) {
        std::printf(
            "\n3. BESIDE OTHERS, all splits; false, empty: false alarms a minute in all splits and in "
            "`empty`. regular: an instant every\n1.2 s. aubio's onset methods at their own thresholds; "
            "* at the one of %zu that is best on the very clips of a column, chosen\nafterwards, in their "
            "favour.\n",
            thresholds.size());
        print_peers(trials, plan.materials);
    }
    std::printf("\n4. CALIBRATION: the confidence stated, and the share of candidates that were contacts\n");
    print_calibration(trials);
    std::printf("\n5. MISSED, by skill; FALSE, by the nearest distraction that began within 50 ms\n");
    for (const bool seen : {true, false})
        print_mistakes(trials, seen);
}

} // namespace

int main(int argc, char** argv) {
    CLI::App app("Scores the contact detector on generated clips.");
    Plan plan;
    std::string bank, figures;
    bool own = false;
    app.add_option("clips", plan.clips, "a split")->check(CLI::Range(1, 10000));
    app.add_option("seed", plan.seed, "of the first clip; those of the fit start at 100000");
    app.add_option("--bank", bank, "recorded sounds, as bank.py makes them");
    app.add_option("--figures", figures, "downball's F for the other scripts");
    app.add_flag("--own", own, "downball alone, no other detectors");
    CLI11_PARSE(app, argc, argv);
    plan.peers = !own;
    if (plan.seed + static_cast<std::uint64_t>(plan.clips) > 100000)
        std::fprintf(stderr, "seeds from 100000 on are those of the fit: these clips may have been seen\n");

    std::optional<Recorded> recorded;
    if (!bank.empty()) recorded = load(bank);
    plan.materials = materials(recorded ? &*recorded : nullptr);
    const std::vector<Trial> trials = run(plan);
    print_all(trials, plan);
    if (!figures.empty() && !write_figures(figures, trials, plan)) {
        std::fprintf(stderr, "%s: cannot be written\n", figures.c_str());
        return 5;
    }
}
