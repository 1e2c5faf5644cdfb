// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace downball::media {

// Gathers what could not be decoded into few notes: neighbouring packets make one, and only the first
// places are written out.
class PacketLosses {
  public:
    void add(double from_s, double to_s, std::string why); // container seconds
    void close_place(double zero_s);                       // a good packet came; zero of the media
    void note(std::string text);
    void finish(double zero_s);
    const std::vector<std::string>& notes() const { return notes_; }

  private:
    static constexpr std::size_t most_notes = 20;
    std::vector<std::string> notes_;
    std::size_t unsaid_ = 0;
    std::size_t packets_ = 0;
    double from_s_ = 0, to_s_ = 0;
    std::string why_;
};

} // namespace downball::media
