// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <limits>
#include <string>
#include <vector>

namespace downball::media {

// Gathers what could not be decoded into few notes: neighbouring packets make one, and only the first
// places are written out.
class PacketLosses {
  public:
    void add(double from_s, double to_s, std::string why); // container seconds
    void close_place(double zero_s);                       // a good packet came; zero of the media
    // The container has no sound from..to. Told from the media's zero on, and not again for lost packets.
    void gap(double from_s, double to_s, double zero_s);
    void note(std::string text);
    void finish(double zero_s);
    const std::vector<std::string>& notes() const { return notes_; }
    bool any() const { return any_; } // of samples, not only remarks

  private:
    static constexpr std::size_t most_notes = 20;
    std::vector<std::string> notes_;
    std::size_t unsaid_ = 0;
    bool any_ = false;
    std::size_t packets_ = 0;
    double from_s_ = 0, to_s_ = 0;
    double told_to_s_ = std::numeric_limits<double>::lowest(); // end of the last place noted
    std::string why_;
};

} // namespace downball::media
