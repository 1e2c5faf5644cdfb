// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/prune.h"

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <fmt/format.h>
#include <string_view>
#include <tuple>
#include <vector>

namespace downball::analysis {

namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;

constexpr std::size_t digits = 16;
constexpr std::string_view list_begins = "seen-";

bool begins_with_hash(std::string_view name) {
    return name.size() > digits && std::ranges::all_of(name.substr(0, digits), [](char c) {
               return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f');
           });
}

// What a process that was killed left half-written: ".NAME.<process>.<attempt>.part" of a file of ours.
bool is_left_over(const fs::directory_entry& entry, fs::file_time_type now) {
    const auto name = entry.path().filename().string();
    if (!name.starts_with('.') || !name.ends_with(".part")) return false;
    auto whole = std::string_view(name).substr(1);
    for (int mark = 0; mark < 3; ++mark)
        whole = whole.substr(0, whole.rfind('.'));
    std::error_code problem;
    const auto written = entry.last_write_time(problem);
    return is_ours(whole) && !problem && now - written > 24h;
}

struct Found {
    fs::file_time_type used_at;
    std::string name;
    std::uint64_t bytes = 0;
};

} // namespace

bool is_list(std::string_view name) {
    return name.starts_with(list_begins) && begins_with_hash(name.substr(list_begins.size())) &&
           name.substr(list_begins.size() + digits) == ".tsv";
}

bool is_ours(std::string_view name) {
    return is_list(name) || (begins_with_hash(name) && name.ends_with(".json"));
}

std::string prune(const std::string& folder, std::uint64_t most_bytes, const std::set<std::string>& used) {
    std::vector<Found> idle;
    std::uint64_t all = 0, in_use = 0;
    const auto now = fs::file_time_type::clock::now();
    std::error_code problem, ignored;
    for (auto entry = fs::directory_iterator(folder, problem); !problem && entry != fs::directory_iterator();
         entry.increment(problem)) {
        const auto name = entry->path().filename().string();
        if (is_left_over(*entry, now)) fs::remove(entry->path(), ignored);
        if (!is_ours(name)) continue;
        const auto bytes = entry->file_size(ignored);
        if (ignored) continue; // another process dropped it
        all += bytes;
        if (used.contains(name) || used.contains(name.substr(0, digits)))
            in_use += bytes;
        else
            idle.push_back({entry->last_write_time(ignored), name, bytes});
    }
    if (all <= most_bytes) return {};
    std::ranges::sort(idle, [](const Found& a, const Found& b) {
        return std::tie(a.used_at, a.name) < std::tie(b.used_at, b.name);
    });
    std::size_t dropped = 0;
    for (const auto& file : idle) {
        if (all <= most_bytes) break;
        if (fs::remove(fs::path(folder) / file.name, ignored)) ++dropped;
        if (!fs::exists(fs::path(folder) / file.name, ignored)) all -= file.bytes;
    }
    if (in_use > most_bytes)
        return fmt::format("{}: what this run needs takes {} MB and stays, though analysis.most_mb is {}",
                           folder, in_use / 1'000'000, most_bytes / 1'000'000);
    return dropped == 0 ? std::string()
                        : fmt::format("{}: {} not used for long {} dropped, to stay below {} MB", folder,
                                      dropped == 1 ? "a file" : fmt::format("{} files", dropped),
                                      dropped == 1 ? "was" : "were", most_bytes / 1'000'000);
}

void mark_as_used(const std::string& path) {
    const auto now = fs::file_time_type::clock::now();
    std::error_code problem;
    const auto before = fs::last_write_time(path, problem);
    if (!problem && now - before > 24h) fs::last_write_time(path, now, problem);
}

} // namespace downball::analysis
