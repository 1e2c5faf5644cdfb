// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/impacts/impact_finder.h"

#include "impacts/contacts.h"
#include "impacts/listener.h"
#include "impacts/pick.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <string>

namespace downball::impacts {
namespace {

constexpr int lowest_rate_hz = 8000, highest_rate_hz = 192000;
constexpr double dead_share = 1e-7; // of the loudest channel's power: -70 dB

} // namespace

struct ImpactFinder::State {
    State(int rate, int channel_count, const ImpactOptions& wanted)
        : options(wanted), rate_hz(rate), channels(channel_count) {
        if (channels < 1) {
            refused = Error{Fault::bad_input, "the sound has no channels; a contact needs at least one", ""};
        } else if (rate < lowest_rate_hz || rate > highest_rate_hz) {
            refused = Error{Fault::bad_input,
                            fmt::format("the sound has {} samples a second; contacts are found at {} to {}: "
                                        "convert the sound to 48000",
                                        rate, lowest_rate_hz, highest_rate_hz),
                            ""};
        } else {
            listener.emplace(rate, channels, models,
                             [this](const Candidate& c) { scored.push_back(scored_of(models, c)); });
        }
    }

    std::vector<std::string> notes() const {
        std::vector<std::string> notes;
        const FrontEnd& front = listener->front();
        if (front.samples() == 0) return {"the clip has no sound: no contacts could be heard"};
        double loudest = 0;
        std::int64_t clipped = 0, broken = 0;
        for (const ChannelHealth& h : front.health()) {
            loudest = std::max(loudest, h.power);
            clipped += h.clipped;
            broken += h.not_finite;
        }
        if (broken > 0)
            notes.push_back(fmt::format("{} samples were no numbers and were taken as silence", broken));
        if (!(loudest > 0)) {
            notes.push_back("the sound is silent from start to end: no contacts could be heard");
            return notes;
        }
        for (std::size_t c = 0; c < front.health().size(); ++c)
            if (front.health()[c].power < dead_share * loudest)
                notes.push_back(fmt::format("channel {} of {} is silent and was left out", c + 1, channels));
        if (clipped > 0)
            notes.push_back(
                fmt::format("the sound is clipped in {} places: loud contacts may be less sure", clipped));
        return notes;
    }

    ImpactOptions options;
    const Models& models = fitted_models();
    int rate_hz, channels;
    std::optional<Error> refused;
    std::optional<Listener> listener;
    std::vector<Scored> scored;
};

ImpactFinder::ImpactFinder(int rate_hz, int channels, const ImpactOptions& options)
    : state_(std::make_unique<State>(rate_hz, channels, options)) {}
ImpactFinder::ImpactFinder(ImpactFinder&&) noexcept = default;
ImpactFinder& ImpactFinder::operator=(ImpactFinder&&) noexcept = default;
ImpactFinder::~ImpactFinder() = default;

Result<void> ImpactFinder::push(const dsp::PlanarBlock& block) {
    if (state_->refused) return *state_->refused;
    if (block.channels.size() != static_cast<std::size_t>(state_->channels))
        return Error{Fault::internal,
                     fmt::format("a block of {} channels came where {} were announced", block.channels.size(),
                                 state_->channels),
                     ""};
    state_->listener->push(block);
    return {};
}

Result<Hearing> ImpactFinder::finish() {
    if (state_->refused) return *state_->refused;
    state_->listener->finish();
    Hearing hearing;
    hearing.contacts = contacts_of(state_->scored, state_->models, state_->options);
    hearing.crowd = state_->listener->crowd().share();
    hearing.notes = state_->notes();
    return hearing;
}

} // namespace downball::impacts
