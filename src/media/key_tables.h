// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

namespace downball::media {

struct KeyTable {
    struct Key {
        std::int64_t shown, byte,
            jumps; // ticks from the first picture; ticks that the clock has jumped until there
    };
    std::vector<Key> keys; // in order
    // Where a file does not time each picture, they are counted from its start, and there are no keys.
    bool counted = false;
};

// Tables of files by their paths. Any thread may use it; they do not change once they are kept.
class KeyTables {
  public:
    std::shared_ptr<const KeyTable> find(const std::string& path) const {
        const std::lock_guard lock(mutex_);
        const auto found = tables_.find(path);
        return found == tables_.end() ? nullptr : found->second;
    }
    void keep(const std::string& path, std::shared_ptr<const KeyTable> table) {
        const std::lock_guard lock(mutex_);
        tables_.try_emplace(path, std::move(table));
    }

  private:
    mutable std::mutex mutex_;
    std::map<std::string, std::shared_ptr<const KeyTable>> tables_;
};

} // namespace downball::media
