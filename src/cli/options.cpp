// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/options.h"

#include "cli/hint_options.h"

#include "downball/base/text.h"
#include "downball/media/probe.h"
#include "downball/time/timecode.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <fmt/format.h>

namespace downball::cli {

namespace {

// The first word that is no option must be a command; CLI11 itself would only call it unexpected.
std::optional<Error> unknown_command(const CLI::App& app, int argc, const char* const* argv) {
    std::vector<std::string> commands;
    for (const auto* command : app.get_subcommands([](const CLI::App*) { return true; }))
        commands.push_back(command->get_name());
    for (int i = 1; i < argc; ++i) {
        const std::string word = argv[i];
        if (word.starts_with('-')) continue;
        if (std::ranges::count(commands, word) > 0) return std::nullopt;
        const auto nearest = nearest_word(word, commands);
        return Error{Fault::usage,
                     fmt::format("\"{}\" is no command{}; `downball --help` lists the commands", word,
                                 nearest ? fmt::format(", did you mean {}?", *nearest) : ""),
                     ""};
    }
    return std::nullopt;
}

// As our own messages put it; it adds nothing to the help.
CLI::Validator whole_number(long long least, long long most) {
    return {[=](const std::string& word) {
                const auto number = parse_integer(word);
                if (number && *number >= least && *number <= most) return std::string();
                return fmt::format("found \"{}\", expected a whole number from {} to {}", word, least, most);
            },
            ""};
}

std::optional<pipeline::Shard> parse_shard(std::string_view word) {
    constexpr long long most = 1'000'000;
    const auto slash = word.find('/');
    if (slash == std::string_view::npos) return std::nullopt;
    const auto number = parse_integer(word.substr(0, slash)), of = parse_integer(word.substr(slash + 1));
    if (!number || !of || *number < 1 || *number > *of || *of > most) return std::nullopt;
    return pipeline::Shard{static_cast<std::size_t>(*number), static_cast<std::size_t>(*of)};
}

} // namespace

Result<std::variant<Options, Answer>> parse_options(int argc, const char* const* argv) {
    using Parsed = std::variant<Options, Answer>;
    Options options;
    NewCommand start;
    LogCommand log;
    BeatsCommand beats;
    ImpactsCommand impacts;
    CutCommand cut;
    ShowCommand shown;
    CoverageCommand covered;
    std::string rate;

    CLI::App app("Cuts tagged sport clips to one song, so that the ball is struck on the beat.", "downball");
    app.require_subcommand(0, 1);
    app.failure_message(CLI::FailureMessage::simple);
    bool version = false;
    app.add_flag("--version", version, "Print the version and those of the libraries");
    app.add_flag("-q,--quiet", options.quiet, "Say nothing but results and errors");

    const auto command = [&](const std::string& name, const std::string& text) {
        auto* sub = app.add_subcommand(name, text);
        sub->fallthrough();
        return sub;
    };
    auto* on_new = command("new", "Scan a folder of footage; start job.json and log.csv");
    on_new->add_option("FOLDER", start.footage, "Folder with the clips; folders below it are searched too")
        ->required();
    on_new->add_option("--music", start.song, "The song")->required();
    on_new->add_option("--in", start.into, "Folder for job.json and log.csv")->capture_default_str();
    on_new->add_option("--name", start.name, "Name of the job and its outputs [the folder's]")
        ->type_name("NAME");
    on_new
        ->add_option(
            "--copy-to", start.copy_to,
            "Copy all of FOLDER into this folder first, each file checked, and use the copy; run it again "
            "to go on after a stop")
        ->type_name("DIR");

    auto* on_log = command("log", "Bring log.csv up to date with the footage and listen to new clips");
    on_log->add_option("JOB", log.job, "job.json or its folder")->required();

    auto* on_beats = command("beats", "Print the beats of a song: seconds <TAB> position in bar");
    on_beats->add_option("TRACK", beats.song, "The song")->required();
    on_beats->add_flag("--json", beats.json, "Print all that is known, as JSON");
    const HintOptions hints(*on_beats);

    auto* on_impacts =
        command("impacts", "Print the ball contacts heard in a clip: seconds <TAB> confidence");
    on_impacts->add_option("CLIP", impacts.clips, "The clip; several with --json, also folders with --out")
        ->required();
    auto* as_json =
        on_impacts->add_flag("--json", impacts.json, "Print all that is known, as JSON, one document a clip");
    auto* from_floor = on_impacts->add_option("--floor", impacts.floor,
                                              "Print from this confidence up; 0 = every candidate [0.5]");
    auto* into =
        on_impacts
            ->add_option(
                "--out", impacts.out,
                "Write an analysis file a clip into this folder, for jobs whose analysis.folder it is")
            ->type_name("DIR")
            ->excludes(as_json)
            ->excludes(from_floor);
    std::string shard;
    auto* part_of_all =
        on_impacts
            ->add_option("--shard", shard,
                         "Do the I-th of N equal parts of the clips, as 3/8; the others do the rest")
            ->type_name("I/N")
            ->needs(into);

    auto* on_cut =
        command("cut", "Choose the shots; write edit lists, song, review page and report of each cut");
    on_cut->add_option("JOB", cut.job, "job.json or its folder")->required();
    on_cut->add_flag("--force", cut.force,
                     "Overwrite files in the way: changed since the last run, or not written by it");
    on_cut->add_flag(
        "--fresh", cut.fresh,
        "Choose all shots anew; else the cut stays near to the last one, which its report tells");
    on_cut->add_option("--from", cut.from,
                       "Take back an EDL or OTIO of this job that was edited: its shots stay, what was taken "
                       "out stays out, what is open is filled");
    on_cut
        ->add_option("--versions", cut.versions,
                     "Make 1 to 9 cuts that differ: NAME, NAME-v2 ...; how far: variety.versions_differ")
        ->type_name("NUMBER")
        ->check(whole_number(1, 9))
        ->capture_default_str();
    on_cut
        ->add_option(
            "--song", cut.song,
            "What the lists play: cut = NAME.song.wav, the song cut to length; original = its own file")
        ->check(CLI::IsMember({"cut", "original"}))
        ->capture_default_str();

    on_cut->add_flag("--no-stills", cut.no_stills,
                     "Decode no pictures for the page: it shows those it has shown before; for quick tries");
    on_cut->add_flag("--preview", cut.preview, "Make NAME.mp4 too: the cut as a small movie with its sound");
    on_cut->add_flag("--sheet", cut.sheet,
                     "Make NAME.sheet.png too: a picture and a caption of each shot, to read on a telephone");

    auto* on_show = command("show", "Print an EDL or OTIO as a table and check the rules for lists");
    on_show->add_option("LIST", shown.list, "The list; - = standard input")->required();
    on_show->add_option("--against", shown.against, "Another list, compared with it frame by frame")
        ->type_name("LIST");
    on_show
        ->add_option("--rate", rate,
                     "Frames a second of an EDL, which does not tell: 23.976 to 60 [what fits best]")
        ->type_name("RATE");

    auto* on_coverage =
        command("coverage", "Tell who was filmed doing what, what is missing, when ends change next");
    on_coverage->add_option("JOB", covered.job, "job.json or its folder")->required();
    auto* on_score = on_coverage->add_option("--score", covered.score, "Points of the running set, as 12-9");
    on_score->type_name("A-B");
    on_coverage->add_option("--set", covered.set, "Which set that is")
        ->type_name("NUMBER")
        ->needs(on_score)
        ->check(whole_number(1, 3))
        ->capture_default_str();
    on_coverage
        ->add_option("--format", covered.format, "text, csv, json, or html: a page to print and tick off")
        ->check(CLI::IsMember({"text", "csv", "json", "html"}))
        ->capture_default_str();

    if (auto unknown = unknown_command(app, argc, argv)) return *unknown;
    try {
        app.parse(argc, argv);
    } catch (const CLI::CallForHelp&) {
        return Parsed{Answer{app.help()}};
    } catch (const CLI::ParseError& problem) {
        return Error{Fault::usage, fmt::format("{}; `downball --help` lists the commands", problem.what()),
                     ""};
    }
    if (version)
        return Parsed{Answer{fmt::format("downball {}\n{}\n", DOWNBALL_VERSION, media::library_versions())}};
    if (*on_new)
        options.command = start;
    else if (*on_log)
        options.command = log;
    else if (*on_beats) {
        auto said = hints.read();
        if (!said) return said.error();
        beats.hints = *said;
        options.command = beats;
    } else if (*on_impacts) {
        if (into->count() > 0 && impacts.out.empty())
            return Error{Fault::usage, "found nothing, expected a folder for the analysis files", "--out"};
        if (part_of_all->count() > 0) {
            const auto part = parse_shard(shard);
            if (!part)
                return Error{Fault::usage,
                             fmt::format("found {}, expected a part and their number, as 3/8", shard),
                             "--shard"};
            impacts.shard = *part;
        }
        options.command = impacts;
    } else if (*on_cut)
        options.command = cut;
    else if (*on_show) {
        if (!rate.empty()) {
            const auto told = parse_rate(rate);
            if (!told || !has_timecode(*told))
                return Error{
                    Fault::usage,
                    fmt::format(
                        "found {}, expected a rate that has timecode: 23.976, 24, 25, 29.97, 30, 48, 50, "
                        "59.94 or 60",
                        rate),
                    "--rate"};
            shown.rate = *told;
        }
        options.command = shown;
    } else if (*on_coverage)
        options.command = covered;
    else
        return Error{Fault::usage, "no command given; `downball --help` lists them", ""};
    if (impacts.floor && !(*impacts.floor >= 0 && *impacts.floor <= 1)) // so that nan is refused too
        return Error{Fault::usage,
                     fmt::format("--floor: found {}, expected a confidence from 0 to 1", *impacts.floor), ""};
    if (impacts.clips.size() > 1 && !impacts.json && impacts.out.empty())
        return Error{Fault::usage,
                     "several clips at once need --json, which says which contact is of which clip, or --out",
                     ""};
    return Parsed{options};
}

} // namespace downball::cli
