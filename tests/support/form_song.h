// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/song_patterns.h"

#include <string_view>
#include <vector>

// Songs of several parts, who plays in which being told part by part.
namespace downball::test {

struct FormPart {
    int bars = 8;
    std::string_view players; // k kick, s snare, h hat, b bass, c chords, l lead; upper case = louder
    bool crash = true;        // on the first beat
    bool fill = true;         // in the last bar: the snare in sixteenths, over two beats
    int stopped_beats = 0;    // silence at the part's end
    int strong_each = 0;      // a crash every so many bars, 0 = none
};

struct FormPlayed {
    std::vector<double> downbeats;
    std::vector<int> borders; // bars the parts begin on but the first
    double end_s = 0;
};

struct FormHow {
    double bpm = 124;
    double start_s = 0;
    int chord_cycle = 4; // bars until the chords come round: 4 or 8
    int transpose = 0;   // semitones, of chords and bass
    double jitter_s = 0;
};

inline int bars_of(const std::vector<FormPart>& parts) {
    int bars = 0;
    for (const FormPart& p : parts)
        bars += p.bars;
    return bars;
}

class FormPlayer {
  public:
    FormPlayer(Mix& mix, const Pattern& pattern, const FormHow& how)
        : mix_(mix), pattern_(pattern), how_(how) {}

    FormPlayed play(const std::vector<FormPart>& parts) {
        FormPlayed out;
        const double bar_s = pattern_.beats * 60 / how_.bpm;
        int bar = 0;
        for (const FormPart& part : parts) {
            if (bar > 0) out.borders.push_back(bar);
            for (int k = 0; k < part.bars; ++k, ++bar) {
                const double now = how_.start_s + bar * bar_s;
                out.downbeats.push_back(now);
                play_bar(part, k, now);
            }
        }
        out.end_s = how_.start_s + bar * bar_s;
        return out;
    }

  private:
    // Level of a player in this part, 0 = silent.
    static double level(const FormPart& part, char who) {
        const char loud = static_cast<char>(who - 'a' + 'A');
        if (part.players.find(loud) != std::string_view::npos) return 1;
        return part.players.find(who) != std::string_view::npos ? 0.6 : 0;
    }
    double at(double s) { return s + how_.jitter_s * mix_.dice().normal(); }

    void play_bar(const FormPart& part, int k, double now) {
        const double beat = 60 / how_.bpm, step = beat / 4;
        const bool last = k + 1 == part.bars;
        const int steps = 4 * pattern_.beats, end = last ? steps - 4 * part.stopped_beats : steps;
        const bool fill = last && part.fill;
        for (int s = 0; s < end; ++s) {
            const auto i = static_cast<std::size_t>(s);
            const double t = at(now + s * step);
            if (pattern_.kick[i] == 'x') drum(t, 0.5 * level(part, 'k'));
            const bool rolls = fill && s >= steps - 8;
            if (rolls || pattern_.snare[i] == 'x') strike(t, (rolls ? 0.7 : 1) * level(part, 's'));
            if (pattern_.hat[i] == 'x' && level(part, 'h') > 0)
                mix_.noise(t, 0.07 * level(part, 'h'), 0.0003, 0.02);
        }
        if ((part.crash && k == 0) || (part.strong_each > 0 && k % part.strong_each == 0))
            mix_.noise(now, 0.12, 0.001, 0.5);
        tuned(part, k, now, end * step, step);
    }
    void tuned(const FormPart& part, int k, double now, double length_s, double step) {
        constexpr double roots[] = {0, -4, 3, -2, 5, -4, -2, 0}; // semitones
        const double root = 110 * std::pow(2, (roots[k % how_.chord_cycle] + how_.transpose) / 12.0);
        for (int s = 0; s * step < length_s; ++s)
            if (pattern_.bass[static_cast<std::size_t>(s)] == 'x' && level(part, 'b') > 0)
                mix_.tone(at(now + s * step), 1.6 * step, 0.2 * level(part, 'b'), root / 2);
        if (level(part, 'c') > 0)
            for (double third : {1.0, 1.2599, 1.4983})
                mix_.tone(now, 0.97 * length_s, 0.05 * level(part, 'c'), 2 * root * third, 0.01);
        constexpr double tune[] = {12, 7, 9, 4, 7, 12, 16, 14};
        for (int s = 0; s * 2 * step < length_s && level(part, 'l') > 0; ++s)
            mix_.tone(now + 2 * s * step, 1.8 * step, 0.08 * level(part, 'l'),
                      4 * root * std::pow(2, tune[(s + 3 * k) % 8] / 12.0));
    }
    void drum(double t, double level) {
        if (level <= 0) return;
        mix_.drum(t, level, 52, 0.08);
        mix_.noise(t, 0.16 * level, 0.0003, 0.003);
    }
    void strike(double t, double level) {
        if (level <= 0) return;
        mix_.drum(t, 0.2 * level, 185, 0.05);
        mix_.noise(t, 0.25 * level, 0.0005, 0.06);
    }

    Mix& mix_;
    Pattern pattern_;
    FormHow how_;
};

} // namespace downball::test
