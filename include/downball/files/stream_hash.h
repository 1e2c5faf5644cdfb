// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <string>
#include <string_view>

struct XXH3_state_s;

namespace downball::files {

// What content_hash (files.h) gives, of content that comes in pieces.
class StreamHash {
  public:
    StreamHash();
    void add(std::string_view piece);
    std::string digits() const;

  private:
    struct Free {
        void operator()(XXH3_state_s* state) const;
    };
    std::unique_ptr<XXH3_state_s, Free> state_;
};

} // namespace downball::files
