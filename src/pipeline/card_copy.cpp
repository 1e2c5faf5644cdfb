// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/card_copy.h"

#include "pipeline/checked_copy.h"
#include "pipeline/places.h"

#include "downball/base/notes.h"
#include "downball/files/files.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_named = 20;

struct Tree {
    std::vector<std::string> folders, files; // from the card's folder, sorted: a folder before those in it
    std::vector<std::string> unreadable;     // with the reason
    std::vector<std::string> notes;
};

// Goes on after a folder that cannot be read, which the standard library's own walk does not tell.
void read_tree(const fs::path& card, const fs::path& folder, Tree& tree) {
    std::error_code problem;
    auto entry = fs::directory_iterator(card / folder, problem);
    for (const auto end = fs::directory_iterator(); !problem && entry != end; entry.increment(problem)) {
        const auto path = (folder / entry->path().filename()).string();
        std::error_code failed;
        if (entry->is_directory(failed) && !entry->is_symlink(failed)) {
            tree.folders.push_back(path);
            read_tree(card, path, tree);
        } else if (entry->is_regular_file(failed)) {
            tree.files.push_back(path);
        } else {
            tree.notes.push_back(fmt::format("not copied, as it is {}: {}",
                                             entry->is_symlink(failed) ? "a link to a folder or to nothing"
                                                                       : "neither file nor folder",
                                             (card / path).string()));
        }
    }
    if (!problem) return;
    // Linux makes this folder on its disks for what a repair finds, and lets nobody else look.
    const bool of_system = folder == "lost+found" && problem == std::errc::permission_denied;
    (of_system ? tree.notes : tree.unreadable)
        .push_back(fmt::format("{}{}: {}", of_system ? "not copied: " : "", (card / folder).string(),
                               problem.message()));
}

std::uint64_t bytes_of(const fs::path& path) {
    std::error_code problem;
    const auto bytes = fs::file_size(path, problem);
    return problem ? 0 : bytes;
}

Result<std::string> place_for(const std::string& card, const std::string& into) {
    std::error_code problem;
    if (!fs::is_directory(card, problem))
        return Error{Fault::bad_input, "this is no folder, so it cannot be copied; name the card's folder",
                     card};
    const auto from = file_key("", card);
    const auto name = fs::path(from).filename();
    if (name.empty())
        return Error{Fault::bad_input, "this folder has no name to copy it under; name one below it", card};
    const auto to = (fs::path(file_key("", into)) / name).string();
    if (to == from || lies_below(from, to) || lies_below(to, from))
        return Error{
            Fault::bad_input,
            fmt::format("the copy would lie in {}, and that or the folder to be copied lies in the other; "
                        "choose another folder for the copy",
                        to),
            card};
    return (fs::path(into) / name).lexically_normal().string();
}

Result<void> check_space(std::uint64_t needed, const std::string& into) {
    std::error_code problem;
    auto there = fs::path(file_key("", into));
    while (!fs::exists(there, problem) && there.has_relative_path())
        there = there.parent_path();
    const auto space = fs::space(there, problem);
    if (problem || space.available >= needed) return {};
    constexpr double giga = 1e9;
    return Error{
        Fault::cannot_write,
        fmt::format("the copy needs {:.2f} GB and {:.2f} GB are free here; free some space, or copy to "
                    "another disk",
                    static_cast<double>(needed) / giga, static_cast<double>(space.available) / giga),
        into};
}

Error not_all(const std::string& what, const std::vector<std::string>& files, const std::string& advice,
              const CardCopy& done, Fault fault) {
    std::string text;
    for (std::size_t n = 0; n < std::min(files.size(), most_named); ++n)
        text += fmt::format("{}: {}\n", what, files[n]);
    if (files.size() > most_named) text += fmt::format("... and {} more\n", files.size() - most_named);
    text += fmt::format("All else is in {}: {} copied and compared, {} there already. No job was started; {}",
                        done.folder, done.copied, done.kept, advice);
    return {fault, text, ""};
}

} // namespace

Result<CardCopy> copy_card(const std::string& card, const std::string& into, const Talk& talk) {
    const auto place = place_for(card, into);
    if (!place) return place.error();
    Tree tree;
    read_tree(card, "", tree);
    std::ranges::sort(tree.folders);
    std::ranges::sort(tree.files);

    CardCopy done{.folder = *place, .notes = tree.notes};
    const fs::path from(card), to(*place);
    std::uint64_t needed = 0;
    for (const auto& file : tree.files) {
        const auto bytes = bytes_of(from / file);
        std::error_code ignored;
        if (!fs::exists(to / file, ignored)) needed += bytes;
        done.bytes += bytes;
    }
    if (auto room = check_space(needed, into); !room) return room.error();
    if (auto made = files::make_folder(*place); !made) return made.error();
    for (const auto& folder : tree.folders)
        if (auto made = files::make_folder((to / folder).string()); !made) return made.error();

    const auto stage = talk.stage("copying the card");
    const double to_read =
        2 * static_cast<double>(std::max<std::uint64_t>(1, done.bytes)); // the copies as well
    double read = 0;
    const CopyWork work{[&](std::uint64_t bytes) {
                            read += static_cast<double>(bytes);
                            stage.report(std::min(1.0, read / to_read));
                        },
                        talk.stop};
    std::vector<std::string> unreadable = tree.unreadable, others;
    for (const auto& file : tree.files) {
        const auto copied = copy_checked((from / file).string(), (to / file).string(), work);
        if (!copied) return copied.error();
        switch (copied->how) {
        case Copied::written:
            ++done.copied;
            break;
        case Copied::kept:
            ++done.kept;
            break;
        case Copied::unreadable:
            unreadable.push_back(fmt::format("{}: {}", (from / file).string(), copied->why));
            break;
        case Copied::other_there:
            others.push_back((to / file).string());
            break;
        }
    }
    if (!unreadable.empty())
        return not_all(
            "cannot be read", unreadable,
            "try another reader for the card and run the same command again, or give the copy as the "
            "footage and do without these",
            done, Fault::bad_input);
    if (!others.empty())
        return not_all("is there already and differs from the card's file, so it stays as it is", others,
                       "move it away, or copy to another folder", done, Fault::cannot_write);
    return done;
}

} // namespace downball::pipeline
