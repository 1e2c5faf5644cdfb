// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace downball::read {

struct EdlLine {
    std::size_t number = 0; // from 1
    std::string_view text;
};

// The lines of a list, whatever ends them: CRLF, LF or CR.
class EdlLines {
  public:
    explicit EdlLines(std::string_view text); // which must outlive this

    const std::vector<EdlLine>& all() const { return all_; }

    struct Fault {
        std::size_t line = 0; // 0 = the whole
        std::string what;
    };
    // Why this cannot be a list at all.
    const std::optional<Fault>& fault() const { return fault_; }
    // Against rule 1: by line, once for each kind of trouble.
    const std::vector<std::pair<std::size_t, std::string>>& unclean() const { return unclean_; }

  private:
    void divide(std::string_view text);
    void look_for_bytes();

    std::vector<EdlLine> all_;
    std::optional<Fault> fault_;
    std::vector<std::pair<std::size_t, std::string>> unclean_;
};

struct EventFields {
    int number = 0;
    std::string reel, channel, transition, duration;
    std::array<std::string_view, 4> labels; // source in, out, record in, out
    bool in_columns = false;
};

// By its columns, or, where it does not keep to them, by the blanks between its words. Errors: no event.
Result<EventFields> event_fields(std::string_view line);

struct SpeedFields {
    std::string reel;
    double frames_per_second = 0;
    std::string_view label;
};

// "M2   REEL     012.5 ... HH:MM:SS:FF". Errors: no such line, or no such number.
Result<SpeedFields> speed_fields(std::string_view line);

bool known_channel(std::string_view channel);
bool known_transition(std::string_view code);
bool known_colour(std::string_view colour);

// At most 40 characters of a text, printable ones alone.
std::string shortened(std::string_view text);

} // namespace downball::read
