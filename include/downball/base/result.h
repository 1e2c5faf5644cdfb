// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cassert>
#include <optional>
#include <string>
#include <utility>
#include <variant>

namespace downball {

// What kind of thing went wrong; the command line turns each into one exit status.
enum class Fault {
    internal,     // our own mistake: exit 1
    usage,        // the command was called wrongly: exit 2
    bad_input,    // a file, tag or number of the user's: exit 3
    no_cut,       // no cut satisfies the limits: exit 4
    cannot_write, // read-only folder, full disk, a file that is not ours: exit 5
    interrupted,  // the caller asked us to stop: exit 130
};

// `what` says what was found, what was expected and what to do, in one or two sentences without a final
// newline. `where` is a place the reader can go to: a file, "log.csv:12", "job.json /pacing/longest_s",
// "C1_0004.mp4 at 12.4 s"; empty if there is none.
struct Error {
    Fault fault = Fault::internal;
    std::string what;
    std::string where;
};

// "where: what", or just "what".
std::string to_string(const Error& error);

// A value or an Error. Test it before use: value() of a failed Result is a broken promise (assert).
template <class T>
class [[nodiscard]] Result {
  public:
    Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}
    Result(Error error) : state_(std::in_place_index<1>, std::move(error)) {}

    explicit operator bool() const { return state_.index() == 0; }
    T& value() & {
        assert(*this);
        return std::get<0>(state_);
    }
    const T& value() const& {
        assert(*this);
        return std::get<0>(state_);
    }
    T&& value() && {
        assert(*this);
        return std::get<0>(std::move(state_));
    }
    T& operator*() & { return value(); }
    const T& operator*() const& { return value(); }
    T&& operator*() && { return std::move(*this).value(); }
    T* operator->() { return &value(); }
    const T* operator->() const { return &value(); }
    const Error& error() const {
        assert(!*this);
        return std::get<1>(state_);
    }

  private:
    std::variant<T, Error> state_;
};

template <>
class [[nodiscard]] Result<void> {
  public:
    Result() = default;
    Result(Error error) : error_(std::move(error)) {}

    explicit operator bool() const { return !error_; }
    const Error& error() const {
        assert(error_);
        return *error_;
    }

  private:
    std::optional<Error> error_;
};

} // namespace downball
