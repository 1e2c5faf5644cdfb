// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <string>
#include <vector>

namespace downball::pipeline {

enum class CardFile {
    clip,     // pictures or sound
    low_copy, // a clip in low resolution that the camera wrote beside the clip itself
    photo,
    sidecar, // what a camera or program wrote about a clip or a card
    other,
};

// By the name's ending alone, whatever its case.
CardFile card_file(const std::string& path);

// What lies on cards and disks; each list sorted by path.
struct CardFiles {
    std::vector<std::string> clips; // low-resolution copies among them
    std::vector<std::string> photos, sidecars, others;
};

// All files below the folders, each once; hidden files and folders are passed over, and links to folders are not
// followed. A file named itself is a clip, whatever its ending. Errors: a folder that is not there or cannot be
// read.
Result<CardFiles> files_below(const std::vector<std::string>& folders);

// "12 photos, 30 sidecars, 4 proxies, 2 other files (.pdf, .txt)"; empty where there are none.
std::string tell_skipped(const CardFiles& files, std::size_t proxies);

} // namespace downball::pipeline
