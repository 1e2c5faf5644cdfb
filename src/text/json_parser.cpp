// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/base/text.h"
#include "downball/text/json.h"

#include <algorithm>
#include <cstddef>
#include <cstring>
#include <fmt/format.h>
#include <iterator>
#include <limits>
#include <nlohmann/json.hpp>
#include <unordered_set>

namespace downball::text {
namespace {

constexpr std::size_t deepest = 200;

// Hands out the text's bytes and tells how many the parser has taken, which its events do not.
class CountingIterator {
  public:
    using iterator_category = std::input_iterator_tag;
    using value_type = char;
    using difference_type = std::ptrdiff_t;
    using pointer = const char*;
    using reference = const char&;

    CountingIterator(const char* at, const char** furthest) : at_(at), furthest_(furthest) {}
    reference operator*() const { return *at_; }
    CountingIterator& operator++() {
        ++at_;
        *furthest_ = std::max(*furthest_, at_);
        return *this;
    }
    CountingIterator operator++(int) {
        CountingIterator old = *this;
        ++*this;
        return old;
    }
    friend bool operator==(const CountingIterator& a, const CountingIterator& b) { return a.at_ == b.at_; }

  private:
    const char* at_;
    const char** furthest_;
};

struct Place {
    std::size_t line = 1;
    std::size_t column = 1;
};

// Of the byte at `offset`; columns count characters, not bytes.
Place place_of(std::string_view text, std::size_t offset) {
    Place place;
    for (const char c : text.substr(0, offset)) {
        if (c == '\n') {
            ++place.line;
            place.column = 1;
        } else if ((static_cast<unsigned char>(c) & 0xC0u) != 0x80u) {
            ++place.column;
        }
    }
    return place;
}

// The library's sentence without its class names, and with what usually lies behind it.
std::string reason(std::string_view text, std::size_t offset, std::string_view message) {
    const std::size_t start = message.find("syntax error while parsing ");
    if (start != std::string_view::npos)
        message.remove_prefix(start + std::strlen("syntax error while parsing "));
    if (const std::size_t dash = message.find(" - ");
        start != std::string_view::npos && dash < message.size())
        message.remove_prefix(dash + 3);
    std::string said(message.substr(0, message.find("; last read")));
    if (const std::size_t from = message.find("; expected");
        from != std::string_view::npos && said.find("; expected") == std::string::npos)
        said += message.substr(from);
    if (said.starts_with("[json.exception")) said = said.substr(said.find("] ") + 2);

    const char at = offset < text.size() ? text[offset] : '\0';
    const std::string_view before = trim(text.substr(0, std::min(offset, text.size())));
    if ((at == '}' || at == ']') && before.ends_with(',')) return said + "; take out the comma before it";
    if (at == '/' || at == '#') return said + "; JSON has no comments, take it out";
    if (at == '\'') return said + "; strings stand in double quotes";
    if (trim(text).empty()) return "the file is empty; expected a JSON value";
    return said;
}

// Builds our value from the parser's events. Returning false stops the parser; `error` then says why.
class Builder {
  public:
    Builder(std::string_view text, std::string name, const char* const* furthest)
        : text_(text), name_(std::move(name)), furthest_(furthest) {}

    bool null() { return put(Json()); }
    bool boolean(bool value) { return put(Json(value)); }
    bool number_integer(std::int64_t value) { return put(Json(value)); }
    bool number_unsigned(std::uint64_t value) {
        if (value <= static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max()))
            return put(Json(static_cast<std::int64_t>(value)));
        return put(Json(static_cast<double>(value)));
    }
    bool number_float(double value, const std::string&) { return put(Json(value)); }
    bool string(std::string& value) { return put(Json(std::move(value))); }
    bool binary(nlohmann::json::binary_t&) { return false; }
    bool start_object(std::size_t) { return open(Json(JsonObject{})); }
    bool start_array(std::size_t) { return open(Json(JsonArray{})); }
    bool end_object() { return close(); }
    bool end_array() { return close(); }

    bool key(std::string& name) {
        if (!open_.back().is_new(name))
            return stop(fmt::format("the member \"{}\" stands twice in this object; keep one of them", name));
        open_.back().key = std::move(name);
        return true;
    }

    bool parse_error(std::size_t position, const std::string&, const nlohmann::json::exception& error) {
        const std::size_t offset = position > 0 ? position - 1 : 0;
        return stop_at(std::min(offset, text_.size()), reason(text_, offset, error.what()));
    }

    Result<Json> finish() {
        if (error_) return *error_;
        return std::move(root_);
    }

  private:
    struct Open {
        Json value;
        std::string key;                      // of the member being read
        std::unordered_set<std::string> keys; // once there are many members

        bool is_new(const std::string& name) {
            const JsonObject& members = value.object();
            if (members.size() < many) return !value.find(name);
            if (keys.empty())
                for (const auto& member : members)
                    keys.insert(member.first);
            return keys.insert(name).second;
        }
    };
    // Fewer are looked through faster than hashed.
    static constexpr std::size_t many = 16;

    bool put(Json value) {
        if (open_.empty()) {
            root_ = std::move(value);
        } else if (Open& parent = open_.back(); parent.value.is_array()) {
            parent.value.array().push_back(std::move(value));
        } else {
            parent.value.object().emplace_back(std::move(parent.key), std::move(value));
        }
        return true;
    }

    bool open(Json value) {
        if (open_.size() == deepest)
            return stop(fmt::format("nested deeper than {} levels; no file of ours goes so deep", deepest));
        open_.push_back({std::move(value), {}, {}});
        return true;
    }

    bool close() {
        Json done = std::move(open_.back().value);
        open_.pop_back();
        return put(std::move(done));
    }

    bool stop(std::string why) {
        const auto taken = static_cast<std::size_t>(*furthest_ - text_.data());
        return stop_at(taken > 0 ? taken - 1 : 0, std::move(why));
    }

    bool stop_at(std::size_t offset, const std::string& why) {
        const Place place = place_of(text_, offset);
        error_ = Error{Fault::bad_input, fmt::format("column {}: {}", place.column, why),
                       fmt::format("{}:{}", name_, place.line)};
        return false;
    }

    std::string_view text_;
    std::string name_;
    const char* const* furthest_;
    Json root_;
    std::vector<Open> open_;
    std::optional<Error> error_;
};

} // namespace

Result<Json> parse_json(std::string_view text, const std::string& name) {
    // The library would pass over the mark in silence; strict readers of JSON stop on it.
    if (text.starts_with("\xEF\xBB\xBF"))
        return Error{Fault::bad_input, "the file begins with a byte-order mark; save it as UTF-8 without one",
                     name + ":1"};
    const char* furthest = text.data();
    // Counting bytes doubles the time, and only an error asks for their number.
    try {
        Builder builder(text, name, &furthest);
        if (nlohmann::json::sax_parse(text.data(), text.data() + text.size(), &builder))
            return builder.finish();
    } catch (const std::exception&) {
        // told below
    }
    Builder builder(text, name, &furthest);
    const CountingIterator begin(text.data(), &furthest);
    const CountingIterator end(text.data() + text.size(), &furthest);
    try {
        nlohmann::json::sax_parse(begin, end, &builder);
    } catch (const std::exception& error) {
        return Error{Fault::bad_input, error.what(), name};
    }
    return builder.finish();
}

} // namespace downball::text
