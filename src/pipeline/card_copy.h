// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/pipeline/talk.h"

#include <cstdint>
#include <string>
#include <vector>

namespace downball::pipeline {

struct CardCopy {
    std::string folder; // where the copy is
    std::size_t copied = 0;
    std::size_t kept = 0;           // were there already, of the same content
    std::uint64_t bytes = 0;        // of all files
    std::vector<std::string> notes; // what is no file and was not copied
};

// Copies all files of a folder, hidden ones too, into a folder of its name in `into`, which is made; folders and times of
// modification stay. Each file is written beside its place under another name, flushed to the disk, read again from
// it and compared, and then renamed; a stop leaves only whole files. A file that is there already is kept if it has the
// same content; nothing is overwritten, and nothing deleted. Links to files are copied as files; links to folders are not
// followed.
// Errors: files that cannot be read, all of them, after all others were copied (Fault::bad_input); files that are there
// with other content, likewise (Fault::cannot_write); one folder lies in the other; no space, no right to write; stopped
// on request.
Result<CardCopy> copy_card(const std::string& card, const std::string& into, const Talk& talk);

} // namespace downball::pipeline
