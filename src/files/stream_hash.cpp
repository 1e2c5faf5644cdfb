// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/files/stream_hash.h"

#include <fmt/format.h>
#include <xxhash.h>

namespace downball::files {

StreamHash::StreamHash() : state_(XXH3_createState()) {
    XXH3_64bits_reset(state_.get());
}

void StreamHash::Free::operator()(XXH3_state_s* state) const {
    XXH3_freeState(state);
}

void StreamHash::add(std::string_view piece) {
    XXH3_64bits_update(state_.get(), piece.data(), piece.size());
}

std::string StreamHash::digits() const {
    return fmt::format("{:016x}", XXH3_64bits_digest(state_.get()));
}

} // namespace downball::files
