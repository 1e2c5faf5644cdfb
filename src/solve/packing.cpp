// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/packing.h"

#include <algorithm>
#include <map>

namespace downball::solve {
namespace {

constexpr int orders_tried = 720; // six different shots of one file

class Packer {
  public:
    Packer(const Setting& setting, Cut& cut, double& tries) : setting_(setting), cut_(cut), tries_(tries) {}

    Packed run(const std::vector<Pin>& pins) {
        std::map<std::size_t, std::vector<std::size_t>> loose; // by file
        for (std::size_t n = 0; n < cut_.size(); ++n) {
            if (setting_.stock.plays[cut_[n].play].impact < 0 && !pinned(pins, n))
                loose[media_of(n)].push_back(n);
            else
                standing_[media_of(n)].push_back(cut_[n]);
        }
        for (auto& [media, shots] : loose) {
            const Packed packed = pack(shots, standing_[media]);
            if (packed != Packed::yes) return packed;
        }
        return Packed::yes;
    }

  private:
    std::size_t media_of(std::size_t n) const {
        return setting_.clip_of(setting_.stock.plays[cut_[n].play]).media;
    }

    // A lock names the source of the shot that is the so-manieth of its take.
    bool pinned(const std::vector<Pin>& pins, std::size_t n) {
        const std::size_t clip = setting_.stock.plays[cut_[n].play].clip;
        const auto ordinal =
            1 + std::count_if(cut_.begin(), cut_.begin() + static_cast<std::ptrdiff_t>(n),
                              [&](const Piece& p) { return setting_.stock.plays[p.play].clip == clip; });
        for (const Pin& pin : pins)
            if (pin.clip == clip && pin.ordinal == ordinal && pin.source_in) {
                cut_[n].source_in = *pin.source_in;
                return true;
            }
        return false;
    }

    bool place(const std::vector<std::size_t>& shots, Cut others, bool middle) {
        for (std::size_t n : shots) {
            Piece& piece = cut_[n];
            tries_ += 1;
            auto source = free_source(setting_, piece.play, piece.out - piece.in, others, middle);
            if (!source) return false;
            piece.source_in = *source;
            others.push_back(piece);
        }
        return true;
    }

    // In the order in which they lie in any packing that works, each goes no further back than it lies there.
    Packed pack(std::vector<std::size_t> shots, const Cut& others) {
        if (place(shots, others, true)) return Packed::yes;
        auto before = [&](std::size_t a, std::size_t b) {
            const Piece &x = cut_[a], &y = cut_[b];
            return std::pair(x.play, x.out - x.in) < std::pair(y.play, y.out - y.in);
        };
        std::sort(shots.begin(), shots.end(), before);
        int tried = 0;
        do {
            if (place(shots, others, false)) return Packed::yes;
            if (++tried == orders_tried) return Packed::unsure;
        } while (std::next_permutation(shots.begin(), shots.end(), before));
        return Packed::no;
    }

    const Setting& setting_;
    Cut& cut_;
    double& tries_;
    std::map<std::size_t, Cut> standing_; // by file
};

} // namespace

Packed give_sources(const Setting& setting, const std::vector<Pin>& pins, Cut& cut, double& tries) {
    return Packer(setting, cut, tries).run(pins);
}

} // namespace downball::solve
