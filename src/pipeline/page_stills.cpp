// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/page_stills.h"

#include "downball/page/page.h"
#include "downball/preview/stills.h"
#include "downball/text/html.h"
#include "downball/text/members.h"

#include <algorithm>

namespace downball::pipeline {

namespace {

constexpr int form_version = 1;

// A name begins with the content id of the file.
analysis::Document still_document(const std::string& name) {
    return {name + ".still.json", "still", {form_version, preview::still_version}};
}

std::optional<std::string> known_still(const std::string& name, analysis::Folder& kept) {
    const auto found = name.empty() ? std::nullopt : kept.find(still_document(name));
    if (!found) return std::nullopt;
    text::Members still(*found);
    auto picture = still.string("jpeg_base64");
    return still.good() ? std::optional(std::move(picture)) : std::nullopt;
}

} // namespace

Result<PageStills> page_stills(const Timeline& timeline, bool decode, analysis::Folder& kept,
                               const Talk& talk) {
    const preview::StillForm form{.width_px = page::still_width_px};
    PageStills stills;
    std::vector<Frame> missing;
    for (const Frame at : page::stills_wanted(timeline)) {
        if (auto known = known_still(preview::still_name(timeline, at, form), kept))
            stills.pictures[at] = std::move(*known);
        else
            missing.push_back(at);
    }
    if (!decode) return stills;
    auto made = preview::stills(timeline, missing, form, talk.stage("pictures for the page"));
    if (!made) return made.error();
    std::map<std::string, bool> same; // by path: is it still the file whose id the name begins with?
    for (const auto& [at, jpeg] : made->pictures) {
        auto& picture = stills.pictures[at] = text::base64(jpeg);
        const auto name = preview::still_name(timeline, at, form);
        if (name.empty() || made->lost.contains(at)) continue;
        const auto media =
            std::ranges::find(timeline.media, name.substr(0, name.find('-')), &TimelineMedia::id);
        if (media == timeline.media.end()) continue;
        const auto [known, first] = same.try_emplace(media->path, false);
        if (first) known->second = kept.holds(media->path, media->id);
        if (known->second) kept.keep(still_document(name), {{"jpeg_base64", picture}});
    }
    stills.notes = std::move(made->notes);
    return stills;
}

} // namespace downball::pipeline
