// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/analysis/folder.h"

#include "analysis/prune.h"
#include "analysis/sealed.h"
#include "analysis/seen.h"
#include "analysis/troubles.h"

#include "downball/files/files.h"
#include "downball/media/content_id.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <map>
#include <mutex>
#include <set>

namespace downball::analysis {

namespace fs = std::filesystem;

struct Folder::State {
    State(std::string folder, std::uint64_t most) : path(std::move(folder)), most_bytes(most) {}

    bool keeps() const { return !path.empty(); }
    std::string place(const std::string& name) const { return (fs::path(path) / name).string(); }
    bool stands_there(const std::string& name) const {
        std::error_code problem;
        return fs::exists(fs::symlink_status(place(name), problem));
    }

    // Files that move together with the folder are known again.
    std::string known_as(const std::string& file) const {
        const auto whole = fs::absolute(file).lexically_normal();
        const auto near = whole.lexically_relative(fs::absolute(path).lexically_normal());
        return (near.empty() ? whole : near).string();
    }

    void read_seen();
    bool put(const std::string& name, std::string_view content);

    std::string path;
    std::uint64_t most_bytes;
    std::mutex guard; // for all below
    bool seen_read = false, made = false, wrote = false;
    std::optional<Error> unwritten; // nothing can be written any more
    std::optional<Error> blocked;   // one file cannot: a folder stands in its place
    Seen seen;                      // by earlier runs, and by this one
    bool more_seen = false;
    std::map<std::string, std::string> identified; // ids by path, as they were first told
    bool steady = true;
    std::vector<std::string> lists; // those that `seen` was taken from
    std::set<std::string> used;     // names of documents found or kept in this run
    std::set<std::string> newer;    // names that are not ours to replace
    Troubles troubles;
};

// Lists of several runs side by side are what shards of one job leave.
void Folder::State::read_seen() {
    if (seen_read) return;
    seen_read = true;
    std::error_code problem;
    std::vector<std::string> names;
    for (auto entry = fs::directory_iterator(path, problem); !problem && entry != fs::directory_iterator();
         entry.increment(problem))
        if (auto name = entry->path().filename().string(); is_list(name)) names.push_back(std::move(name));
    std::ranges::sort(names);
    for (const auto& name : names) {
        const auto text = files::read_text(place(name));
        if (!text && !stands_there(name)) continue; // another process took it up just now
        if (!text) {
            troubles.add(Trouble::unreadable, place(name), text.error().what);
            continue;
        }
        if (!seen.take_up(*text)) {
            troubles.add(Trouble::damaged, place(name));
            more_seen = true; // a new list takes its place, though there is nothing new to say
        }
        lists.push_back(name);
    }
}

// The first failure is told, and ends the writing: a full disk or a folder without rights fails for each file. A folder
// in the place of one file stops that file alone, and was told when the file was looked for.
bool Folder::State::put(const std::string& name, std::string_view content) {
    if (unwritten) return false;
    Result<void> done;
    if (!made) done = files::make_folder(path);
    made = true;
    if (done) done = files::replace_file(place(name), content);
    std::error_code ignored;
    if (!done && fs::is_directory(place(name), ignored)) {
        if (!blocked) blocked = done.error();
    } else if (!done) {
        unwritten = done.error();
        troubles.add(Trouble::unwritten, done.error().where, done.error().what);
    } else {
        wrote = true;
    }
    return static_cast<bool>(done);
}

Folder::Folder(std::string path, std::uint64_t most_bytes)
    : state_(std::make_unique<State>(std::move(path), most_bytes)) {}
Folder::~Folder() = default;

Result<Identity> Folder::identify(const std::string& path) {
    auto file = stamp_of(path).value_or(Identity{path, "", 0, 0, 0});
    if (!state_->keeps()) {
        auto id = media::content_id(path);
        if (!id) return id.error();
        file.id = std::move(*id);
        return file;
    }
    auto known = file;
    known.path = state_->known_as(path);
    {
        const std::scoped_lock lock(state_->guard);
        state_->read_seen();
        file.id = state_->seen.id_of(known);
    }
    // Asked before the content is read: one more change while that goes on may leave the same time.
    const bool settled = file.id.empty() && !just_changed(file);
    if (file.id.empty()) {
        auto id = media::content_id(path);
        if (!id) return id.error();
        file.id = std::move(*id);
    }
    known.id = file.id;
    const bool stays = settled && stands(file);
    const std::scoped_lock lock(state_->guard);
    if (stays) {
        state_->seen.add(known);
        state_->more_seen = true;
    }
    if (state_->identified.try_emplace(known.path, known.id).first->second != known.id)
        state_->steady = false;
    return file;
}

bool Folder::holds(const std::string& path, const std::string& id) {
    const auto file = identify(path);
    return file && file->id == id && stands(*file);
}

bool Folder::steady() const {
    const std::scoped_lock lock(state_->guard);
    return state_->steady;
}

bool Folder::stands(const Identity& file) {
    const auto now = stamp_of(file.path);
    return now && now->bytes == file.bytes && now->modified_ns == file.modified_ns &&
           now->changed_ns == file.changed_ns;
}

std::optional<text::Json> Folder::find(const Document& document) {
    if (!state_->keeps()) return std::nullopt;
    const auto path = state_->place(document.name);
    if (!state_->stands_there(document.name)) return std::nullopt;
    const auto text = files::read_text(path);
    if (!text && !state_->stands_there(document.name)) return std::nullopt; // another process dropped it
    auto read = text ? unsealed(document, *text) : Unsealed();
    if (read.seal == Seal::whole) mark_as_used(path);

    const std::scoped_lock lock(state_->guard);
    if (!text) {
        state_->troubles.add(Trouble::unreadable, path, text.error().what);
        return std::nullopt;
    }
    switch (read.seal) {
    case Seal::whole:
        state_->used.insert(document.name);
        return std::move(read.found);
    case Seal::older:
        break;
    case Seal::newer:
        state_->newer.insert(document.name);
        state_->troubles.add(Trouble::newer, path);
        break;
    case Seal::damaged:
        state_->troubles.add(Trouble::damaged, path);
        break;
    }
    return std::nullopt;
}

void Folder::keep(const Document& document, text::JsonObject found) {
    if (!state_->keeps()) return;
    const auto text = sealed(document, std::move(found));
    const std::scoped_lock lock(state_->guard);
    if (state_->newer.contains(document.name)) return;
    if (state_->put(document.name, text)) state_->used.insert(document.name);
}

std::optional<Error> Folder::write_problem() const {
    const std::scoped_lock lock(state_->guard);
    return state_->unwritten ? state_->unwritten : state_->blocked;
}

std::string Folder::path_of(const Document& document) const {
    const std::scoped_lock lock(state_->guard);
    return state_->used.contains(document.name) ? state_->place(document.name) : std::string();
}

std::vector<std::string> Folder::close() {
    if (!state_->keeps()) return {};
    State& state = *state_;
    const std::scoped_lock lock(state.guard);
    if (state.more_seen && !state.seen.empty()) {
        const auto text = state.seen.text();
        const auto name = fmt::format("seen-{}.tsv", text.substr(0, text.find('\n')));
        const bool written = state.put(name, text);
        state.used.insert(name);
        // What they held stands in the new one. One that another process wrote meanwhile stays.
        std::error_code ignored;
        for (const auto& list : state.lists)
            if (written && list != name) fs::remove(state.place(list), ignored);
        state.lists = {name};
        state.more_seen = false;
    }
    auto notes = state.troubles.tell(state.path);
    if (state.wrote) {
        state.used.insert(state.lists.begin(), state.lists.end());
        for (const auto& [path, id] : state.identified)
            state.used.insert(id); // what is of its files stays, though this run did not need it
        if (auto told = prune(state.path, state.most_bytes, state.used); !told.empty())
            notes.push_back(std::move(told));
        state.wrote = false;
    }
    return notes;
}

} // namespace downball::analysis
