// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/commands.h"

#include "downball/analysis/listen.h"
#include "downball/base/notes.h"
#include "downball/base/text.h"
#include "downball/impacts/impact_finder.h"
#include "downball/match/ends.h"
#include "downball/pipeline/analyse.h"
#include "downball/pipeline/coverage.h"
#include "downball/pipeline/cut.h"
#include "downball/pipeline/log_update.h"
#include "downball/pipeline/read_list.h"
#include "downball/pipeline/start_job.h"
#include "downball/read/table.h"
#include "downball/write/listing.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>
#include <string>

namespace downball::cli {

namespace {

int fail(const Error& error) {
    complain(to_string(error));
    return exit_status(error.fault);
}

const Error unprinted{Fault::cannot_write, "cannot write the result to the standard output", ""};

int show(std::string_view text) {
    if (print(text) != Printed::failed) return 0;
    return fail(unprinted);
}

std::string count(std::size_t number, std::string_view one, std::string_view many) {
    return fmt::format("{} {}", number, number == 1 ? one : many);
}

void tell_change(const pipeline::LogChange& change, const pipeline::Talk& talk) {
    talk.line(fmt::format("{} found, {} added to {}; listened to {} of them",
                          count(change.clips, "clip", "clips"), count(change.added, "row", "rows"),
                          change.log, change.listened));
    for (const auto& [file, near] : change.gone)
        talk.line(fmt::format("gone: {} (its rows are kept{})", file, near.empty() ? "" : "; " + near));
    if (!change.written) talk.line("the log was up to date already");
}

int carry_out(const std::monostate&, const pipeline::Talk&) {
    return exit_status(Fault::usage);
}

int carry_out(const NewCommand& command, const pipeline::Talk& talk) {
    const auto change = pipeline::start_job(
        {command.footage, command.song, command.into, command.name, command.copy_to}, talk);
    if (!change) return fail(change.error());
    tell_change(*change, talk);
    talk.line(fmt::format("tag the rows of {}, then: downball cut {}", change->log, change->job));
    return show(fmt::format("{}\n{}\n", change->job, change->log));
}

int carry_out(const LogCommand& command, const pipeline::Talk& talk) {
    const auto change = pipeline::update_log(command.job, talk);
    if (!change) return fail(change.error());
    tell_change(*change, talk);
    return show(change->log + "\n");
}

int carry_out(const BeatsCommand& command, const pipeline::Talk& talk) {
    const auto grid = analysis::find_beats(command.song, command.hints, talk.stage("listening to the song"));
    if (!grid) return fail(grid.error());
    if (grid->beats.empty())
        return fail({Fault::bad_input, "no beat was found in this file; give a song with a plain beat",
                     command.song});
    if (grid->confidence < low_confidence)
        talk.line(fmt::format("low confidence ({:.2f}): these may not be the beats", grid->confidence));
    else if (!grid->other_tempi.empty() && !command.hints.bpm)
        talk.line(fmt::format(
            "counted at {:.1f} beats a minute; {:.1f} is possible too (likelihood {:.2f}): --bpm {:.0f}",
            grid->tempo_bpm, grid->other_tempi.front().tempo_bpm, grid->other_tempi.front().likelihood,
            grid->other_tempi.front().tempo_bpm));
    return show(command.json ? write::beat_json(*grid, command.song, command.hints)
                             : write::beat_lines(*grid));
}

// A line a clip: its analysis file, and the clip it is of.
int write_analyses(const ImpactsCommand& command, const pipeline::Talk& talk) {
    int status = 0;
    std::size_t kept = 0, failed = 0;
    auto printed = Printed::all; // the files are what counts, whether anybody reads their names or not
    const auto done = pipeline::analyse(
        {command.clips, command.out, command.shard},
        [&](const Result<pipeline::Analysed>& one) {
            if (!one) {
                ++failed;
                status = fail(one.error());
                return;
            }
            for (const auto& note : one->notes)
                talk.line(one->clip + ": " + note);
            kept += one->document.empty() ? 0 : 1;
            if (one->document.empty() || printed != Printed::all) return;
            printed = print(fmt::format("{}\t{}\n", one->document, one->clip));
            if (printed == Printed::failed) status = fail(unprinted);
        },
        talk);
    talk.line(
        fmt::format("{} in {}{}", count(kept, "analysis file", "analysis files"), command.out,
                    failed > 0 ? fmt::format("; {} could not be read", count(failed, "clip", "clips")) : ""));
    return done ? status : fail(done.error());
}

int carry_out(const ImpactsCommand& command, const pipeline::Talk& talk) {
    if (!command.out.empty()) return write_analyses(command, talk);
    int status = 0;
    const double floor = command.floor.value_or(impacts::default_floor);
    const auto show_one = [&](const std::string& clip, const Result<Hearing>& hearing) {
        if (!hearing) {
            status = fail(hearing.error());
            return true;
        }
        for (const auto& note : hearing->notes)
            talk.line(clip + ": " + note);
        if (hearing->contacts.empty() && !command.json)
            talk.line(fmt::format("{}: no contact heard from confidence {} up{}", clip, floor,
                                  floor > 0 ? "; --floor 0 prints every candidate" : ""));
        const auto printed =
            print(command.json ? write::impact_json(*hearing, clip) : write::impact_lines(*hearing));
        if (printed == Printed::failed) status = fail(unprinted);
        return printed == Printed::all; // else nobody waits for the other clips
    };
    pipeline::find_contacts(command.clips, floor, show_one, talk);
    return status;
}

// `name` of the cut, where it is one of several.
int tell_conflict(const Conflict& conflict, const std::string& name) {
    std::string text = name.empty() ? "No cut satisfies these limits together:\n"
                                    : name + ": no cut satisfies these limits together:\n";
    for (const auto& limit : conflict.limits)
        text += "  - " + limit + "\n";
    if (!conflict.proven) text += "(A long search found none; that there is none is not proven.)\n";
    if (!conflict.remedies.empty()) text += "What would do:\n";
    for (const auto& remedy : conflict.remedies)
        text += "  - " + remedy + "\n";
    const int shown = show(text);
    return shown != 0 ? shown : exit_status(Fault::no_cut);
}

// Several cuts of one job have most notes in common; `said` are those that need no second saying.
int tell_cut(const pipeline::CutDone& done, const pipeline::Talk& talk, std::set<std::string>& said) {
    const auto say = [&](const std::string& line) {
        if (said.insert(line).second) talk.line(line);
    };
    const auto notes = group_notes(texts_of(done.warnings));
    for (const auto& note : notes)
        say("note: " + note);
    if (notes.size() < done.warnings.size()) say("(all notes stand one by one in the report's warnings)");
    for (const auto& change : done.changes)
        talk.line(change);
    const auto& [shots, contacts, score, limit, gap] = done.figures;
    talk.line(fmt::format("{}, {} on the beat; score {:.2f} of at most {:.2f} (gap {:.1f} %)",
                          count(shots, "shot", "shots"), count(contacts, "contact", "contacts"), score, limit,
                          100 * gap));
    if (done.preview)
        talk.line(fmt::format("preview: {} frames, {:.1f} LUFS, true peak {:.1f} dBTP", done.preview->frames,
                              done.preview->lufs, done.preview->true_peak_db));
    return show(fmt::format("{}\n", fmt::join(done.files, "\n")));
}

int carry_out(const CutCommand& command, const pipeline::Talk& talk) {
    const auto song = command.song == "original" ? pipeline::SongEvent::original : pipeline::SongEvent::cut;
    const auto cuts = pipeline::cut(command.job,
                                    {command.force, song, command.fresh, command.versions, command.from,
                                     command.preview, command.sheet, !command.no_stills},
                                    talk);
    if (!cuts) return fail(cuts.error());
    const bool several = cuts->size() > 1;
    int status = 0;
    std::set<std::string> said;
    for (const auto& [name, outcome] : *cuts) {
        const auto* done = std::get_if<pipeline::CutDone>(&outcome);
        if (done && several) talk.line(name + ":");
        const int told = done ? tell_cut(*done, talk, said)
                              : tell_conflict(std::get<Conflict>(outcome), several ? name : "");
        if (told != 0) status = told;
    }
    return status;
}

// A list of something else altogether breaks a rule in every line; nobody reads all that.
constexpr std::size_t most_told = 200;

void add_lines(const std::vector<std::string>& lines, std::string& text) {
    for (std::size_t n = 0; n < std::min(lines.size(), most_told); ++n)
        text += lines[n] + "\n";
    if (lines.size() > most_told) text += fmt::format("... and {} more\n", lines.size() - most_told);
}

// What is not looked at, and the breaches; true = it keeps all rules.
bool tell_rules(const std::string& file, const read::CutList& list, std::string& text) {
    std::vector<std::string> lines;
    for (const auto& line : list.passed_over)
        lines.push_back("not looked at: " + line);
    add_lines(lines, text);
    lines.clear();
    for (const auto& breach : list.breaches)
        lines.push_back(read::to_line(breach));
    add_lines(lines, text);
    text += list.breaches.empty() ? fmt::format("{} keeps all rules\n", file)
                                  : fmt::format("{} breaks rules in {}\n", file,
                                                count(list.breaches.size(), "place", "places"));
    return list.breaches.empty();
}

void tell_rate(const std::string& file, const read::CutList& list, std::optional<Rate> said,
               const pipeline::Talk& talk) {
    if (said && list.own_rate)
        talk.line(
            fmt::format("note: --rate is ignored for {}, which tells its rate itself: {} frames a second",
                        file, to_string(list.rate)));
    if (!list.rate_told)
        talk.line(
            fmt::format("note: {} does not tell its rate; read at {} frames a second, --rate says another",
                        file, to_string(list.rate)));
}

constexpr int lists_differ = 6; // or break a rule

int carry_out(const ShowCommand& command, const pipeline::Talk& talk) {
    std::string text;
    bool well = true;
    if (command.against.empty()) {
        const auto list = pipeline::read_list(command.list, command.rate);
        if (!list) return fail(list.error());
        tell_rate(command.list, *list, command.rate, talk);
        text = read::table(*list) + "\n";
        well = tell_rules(command.list, *list, text);
    } else {
        const auto pair = pipeline::read_pair(command.list, command.against, command.rate);
        if (!pair) return fail(pair.error());
        tell_rate(command.list, pair->first, command.rate, talk);
        tell_rate(command.against, pair->second, command.rate, talk);
        well = tell_rules(command.list, pair->first, text);
        well = tell_rules(command.against, pair->second, text) && well;
        text += read::to_lines(pair->differences, pair->first);
        well = well && pair->differences.empty();
    }
    const int shown = show(text);
    return shown != 0 || well ? shown : lists_differ;
}

int carry_out(const CoverageCommand& command, const pipeline::Talk& talk) {
    std::optional<Score> score;
    if (!command.score.empty()) {
        score = match::parse_score(command.score);
        if (!score)
            return fail({Fault::usage,
                         fmt::format("found \"{}\", expected two numbers of points, as 12-9", command.score),
                         "--score"});
        if (const auto possible = match::check_score(command.set, *score); !possible)
            return fail({Fault::usage, possible.error().what, "--score"});
    }
    const auto covered = pipeline::cover(command.job, talk);
    if (!covered) return fail(covered.error());
    for (const auto& note : group_notes(covered->notes))
        talk.line("note: " + note);
    const auto& found = covered->coverage;
    std::optional<coverage::NextChange> next;
    if (score) next = *coverage::next_change(command.set, *score, covered->match_facts);
    if (next && command.format == "csv")
        talk.line("note: a CSV holds no score; the other forms tell the next change of ends");
    return show(command.format == "csv"    ? coverage::csv(found)
                : command.format == "json" ? coverage::json(found, next)
                : command.format == "html" ? coverage::checklist(found, next, covered->job)
                                           : coverage::table(found, next));
}

} // namespace

int exit_status(Fault fault) {
    switch (fault) {
    case Fault::internal:
        return 1;
    case Fault::usage:
        return 2;
    case Fault::bad_input:
        return 3;
    case Fault::no_cut:
        return 4;
    case Fault::cannot_write:
        return 5;
    case Fault::interrupted:
        return 130;
    }
    return 1;
}

int run(const Options& options, Terminal& terminal, std::stop_token stop) {
    const auto talk = terminal.talk(std::move(stop));
    return std::visit([&](const auto& command) { return carry_out(command, talk); }, options.command);
}

} // namespace downball::cli
