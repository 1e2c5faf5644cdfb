// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/song_hints.h"

#include <memory>

namespace CLI {
class App;
}

namespace downball::cli {

// The options by which the user says what is known of a song: --bpm, --half, --double, --beat-one, --metre.
class HintOptions {
  public:
    explicit HintOptions(CLI::App& command);
    HintOptions(const HintOptions&) = delete;
    HintOptions& operator=(const HintOptions&) = delete;
    ~HintOptions();

    // After parsing. Errors: Fault::usage, a value out of range or two that contradict each other.
    Result<SongHints> read() const;

  private:
    struct Words;
    std::unique_ptr<Words> words_; // the parser keeps addresses of its members
};

} // namespace downball::cli
