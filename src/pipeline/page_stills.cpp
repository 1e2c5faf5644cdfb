// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/page_stills.h"

#include "pipeline/last_outputs.h"
#include "pipeline/place.h"

#include "downball/files/files.h"
#include "downball/preview/stills.h"
#include "downball/text/html.h"

namespace downball::pipeline {

namespace {

std::map<std::string, std::string> stills_of_last_page(const job::Job& job) {
    const auto path = output_path(job, ".html");
    if (!stands_as_written(output_path(job, ".report.json"), path)) return {};
    const auto page = files::read_text(path);
    return page ? page::stills_in(*page) : std::map<std::string, std::string>();
}

} // namespace

Result<PageStills> page_stills(const job::Job& job, const Timeline& timeline, bool fresh, const Talk& talk) {
    const preview::StillForm form{.width_px = page::still_width_px};
    const auto known = fresh ? std::map<std::string, std::string>() : stills_of_last_page(job);
    PageStills stills;
    std::vector<Frame> missing;
    for (const Frame at : page::stills_wanted(timeline)) {
        const auto name = preview::still_name(timeline, at, form);
        if (const auto found = known.find(name); found != known.end())
            stills.pictures[at] = {found->second, name};
        else
            missing.push_back(at);
    }
    auto made = preview::stills(timeline, missing, form, talk.stage("pictures for the page"));
    if (!made) return made.error();
    for (const auto& [at, jpeg] : made->pictures)
        stills.pictures[at] = {text::base64(jpeg),
                               made->lost.contains(at) ? "" : preview::still_name(timeline, at, form)};
    stills.notes = std::move(made->notes);
    return stills;
}

} // namespace downball::pipeline
