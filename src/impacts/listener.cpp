// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/listener.h"

#include "impacts/context.h"
#include "impacts/kin.h"
#include "impacts/shape.h"

#include <utility>

namespace downball::impacts {

Listener::Listener(int rate_hz, int channels, const Models& models, Sink sink)
    : front_(rate_hz, channels), crowd_(front_.frame_s()), rises_(front_.bank()),
      context_(context_reach_s, judge_context), kin_(kin_reach_s, judge_kin), models_(models),
      sink_(std::move(sink)), score_first_([this](const Candidate& candidate) {
          Candidate scored = candidate;
          scored.features[Feature::first] = static_cast<float>(log_odds(models_.first, candidate.features));
          kin_.push(scored, score_second_);
      }),
      score_second_([this](const Candidate& candidate) {
          Candidate scored = candidate;
          scored.features[Feature::second] = static_cast<float>(log_odds(models_.second, candidate.features));
          sink_(scored);
      }) {}

void Listener::push(const dsp::PlanarBlock& block) {
    front_.push(block, [this](const auto& fine) {
        step(fine);
        crowd_.push(store_.frame(store_.frames() - 1));
    });
}

void Listener::step(const std::array<dsp::Bands, fine_per_frame>& fine) {
    store_.push(fine, noise_.level());
    noise_.push(store_.frame(store_.frames() - 1));
    if (const auto frame = rises_.step(store_)) waiting_.push_back(*frame);
    if (!waiting_.empty() && waiting_.front() + shape_ahead <= store_.frames()) {
        context_.push(measure(store_, front_, waiting_.front()), score_first_);
        waiting_.pop_front();
    }
}

void Listener::finish() {
    // Past the end nothing is known; the noise as it last stood is the neutral guess.
    const dsp::Bands level = noise_.level();
    std::array<dsp::Bands, fine_per_frame> quiet{};
    for (dsp::Bands& bands : quiet)
        for (std::size_t b = 0; b < dsp::band_count; ++b)
            bands[b] = level[b] / static_cast<float>(fine_per_frame);
    for (std::int64_t i = 0; i < shape_ahead + RiseFinder::ahead + RiseFinder::reach; ++i)
        step(quiet);
    context_.finish(score_first_);
    kin_.finish(score_second_);
}

} // namespace downball::impacts
