// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/troubles.h"

#include "downball/base/notes.h"

#include <filesystem>
#include <fmt/format.h>

namespace downball::analysis {

void Troubles::add(Trouble trouble, const std::string& path, const std::string& why) {
    auto& files = found_[trouble];
    if (files.names.empty()) files.why = why;
    files.names.insert(std::filesystem::path(path).filename().string());
}

// Several threads come upon them in any order.
std::vector<std::string> Troubles::tell(const std::string& folder) {
    constexpr std::size_t most = 3;
    std::vector<std::string> lines;
    for (auto& [trouble, files] : found_) {
        const std::vector<std::string> names(files.names.begin(), files.names.end());
        const bool one = names.size() == 1;
        const auto which = some_of(names, most);
        const auto count = one ? std::string("a file of") : fmt::format("{} files of", names.size());
        switch (trouble) {
        case Trouble::damaged:
            lines.push_back(fmt::format("{} {} {} damaged and {} made anew: {}", count, folder,
                                        one ? "is" : "are", one ? "is" : "are", which));
            break;
        case Trouble::newer:
            lines.push_back(fmt::format(
                "{} {} {} made by a newer version of this program and stay{}; what {} of was found anew: {}",
                count, folder, one ? "was" : "were", one ? "s" : "", one ? "it tells" : "they tell", which));
            break;
        case Trouble::unreadable:
            lines.push_back(fmt::format("{} {} cannot be read, and what it holds was found anew: {} ({})",
                                        count, folder, which, files.why));
            break;
        case Trouble::unwritten:
            lines.push_back(fmt::format("nothing is kept in {}, so that the next run must listen again: {}",
                                        folder, files.why));
            break;
        }
    }
    found_.clear();
    return lines;
}

} // namespace downball::analysis
