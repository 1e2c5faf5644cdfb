// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/same_run.h"

#include "pipeline/places.h"

#include "downball/files/files.h"
#include "downball/files/stream_hash.h"
#include "downball/media/probe.h"
#include "downball/shotlog/log.h"
#include "downball/text/csv.h"
#include "downball/text/members.h"

#include <filesystem>
#include <fmt/format.h>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;
using text::Json;
using text::JsonArray;
using text::JsonObject;
using text::Members;

constexpr int form_version = 1;

analysis::Document run_document(const std::string& job_path) {
    const auto job = file_key("", job_file(job_path));
    return {files::content_hash(job) + ".run.json", "run", {form_version}};
}

// Pieces cannot run into one another.
void add(files::StreamHash& hash, std::string_view piece) {
    hash.add(fmt::format("{}:", piece.size()));
    hash.add(piece);
}

JsonObject to_json(const Delivered& one, const CutDone& done) {
    JsonArray outputs, warnings;
    for (const auto& path : done.files) {
        const auto hash = files::file_hash(path);
        outputs.push_back(JsonObject{{"file", path}, {"hash", hash ? *hash : std::string()}});
    }
    for (const auto& warning : done.warnings)
        warnings.push_back(warning.text);
    Json preview;
    if (done.preview)
        preview = JsonObject{{"frames", done.preview->frames},
                             {"lufs", done.preview->lufs},
                             {"true_peak_db", done.preview->true_peak_db}};
    return {{"name", one.name},
            {"outputs", std::move(outputs)},
            {"shots", done.figures.shots},
            {"contacts", done.figures.contacts},
            {"score", done.figures.score},
            {"limit", done.figures.limit},
            {"gap", done.figures.gap},
            {"warnings", std::move(warnings)},
            {"preview", std::move(preview)}};
}

// Nothing where a file is gone or is not as it was written.
std::optional<std::vector<std::string>> standing(Members& cut) {
    std::vector<std::string> paths;
    const auto* outputs = cut.array("outputs");
    if (!outputs) return std::nullopt;
    for (const auto& output : *outputs) {
        Members members(output);
        auto path = members.string("file");
        const auto hash = files::file_hash(path);
        if (!members.good() || !hash || *hash != members.string("hash")) return std::nullopt;
        paths.push_back(std::move(path));
    }
    return paths;
}

std::optional<Delivered> delivered_from(const Json& found) {
    Members cut(found);
    CutDone done;
    auto paths = standing(cut);
    if (!paths) return std::nullopt;
    done.files = std::move(*paths);
    done.figures = {static_cast<std::size_t>(cut.integer("shots")),
                    static_cast<std::size_t>(cut.integer("contacts")), cut.number("score"),
                    cut.number("limit"), cut.number("gap")};
    for (auto& text : cut.strings("warnings"))
        done.warnings.emplace_back(std::move(text));
    if (const auto* object = cut.object("preview")) {
        Members preview(*object);
        done.preview =
            PreviewFigures{preview.integer("frames"), preview.number("lufs"), preview.number("true_peak_db")};
        if (!preview.good()) return std::nullopt;
    }
    done.changes = {
        fmt::format("since the last cut: {0} of {0} shots stay, 0 moved, 0 left, 0 came; nothing that "
                    "decides the cut has changed, and the files stay as they are",
                    done.figures.shots)};
    auto name = cut.string("name");
    return cut.good() ? std::optional(Delivered{std::move(name), std::move(done)}) : std::nullopt;
}

// A hash of all that decides the run; nothing where a file is not there.
std::optional<std::string> hash_of_inputs(const RunTexts& texts, analysis::Folder& kept) {
    files::StreamHash hash;
    add(hash, texts.hash);
    for (const auto& path : texts.media) {
        const auto file = kept.identify(path);
        if (!file) return std::nullopt;
        add(hash, file->id);
    }
    return hash.digits();
}

} // namespace

std::optional<RunTexts> texts_of_run(const std::string& job_path, const job::Job& job,
                                     const CutOptions& options) {
    if (!options.from.empty()) return std::nullopt;
    const auto log_path = from_folder(job.folder, job.log);
    const auto program = files::file_hash("/proc/self/exe");
    const auto job_text = files::read_text(job_file(job_path));
    const auto log_text = files::read_text(log_path);
    if (!program || !job_text || !log_text) return std::nullopt;
    const auto table = text::read_csv(*log_text, log_path);
    if (!table) return std::nullopt;

    files::StreamHash hash;
    std::error_code problem;
    add(hash, *program + media::library_versions());
    add(hash, fs::current_path(problem).string());
    add(hash, job_path);
    add(hash, fmt::format("{} {} {} {} {}", static_cast<int>(options.song), options.versions, options.preview,
                          options.sheet, options.stills));
    add(hash, *job_text);
    add(hash, *log_text);
    RunTexts texts{hash.digits(), {from_folder(job.folder, job.song.file)}};
    for (const auto& logged : shotlog::logged_files(*table))
        texts.media.push_back(from_folder(job.folder, logged.file));
    return texts;
}

// The texts are looked at first: where one has changed, no clip need be.
std::optional<std::vector<Delivered>> same_run(const std::string& job_path, const RunTexts& texts,
                                               analysis::Folder& kept) {
    const auto found = kept.find(run_document(job_path));
    if (!found) return std::nullopt;
    Members run(*found);
    const auto* cuts = run.array("cuts");
    if (!cuts || run.string("texts") != texts.hash) return std::nullopt;
    if (const auto inputs = hash_of_inputs(texts, kept); !inputs || run.string("inputs") != *inputs)
        return std::nullopt;
    std::vector<Delivered> delivered;
    for (const auto& cut : *cuts) {
        auto one = delivered_from(cut);
        if (!one) return std::nullopt;
        delivered.push_back(std::move(*one));
    }
    return delivered;
}

void remember_run(const std::string& job_path, const RunTexts& texts, const std::vector<Delivered>& delivered,
                  analysis::Folder& kept) {
    JsonArray cuts;
    for (const auto& one : delivered) {
        const auto* done = std::get_if<CutDone>(&one.outcome);
        if (!done) return; // why there is no cut is searched for each time
        cuts.push_back(to_json(one, *done));
    }
    if (const auto inputs = hash_of_inputs(texts, kept); inputs && kept.steady())
        kept.keep(run_document(job_path),
                  {{"texts", texts.hash}, {"inputs", *inputs}, {"cuts", std::move(cuts)}});
}

} // namespace downball::pipeline
