// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "text/utf16.h"

#include <array>
#include <cassert>
#include <iconv.h>

namespace downball::text {
namespace {

const char* charset(Encoding encoding) {
    switch (encoding) {
    case Encoding::utf8:
        return "UTF-8";
    case Encoding::utf16_le:
        return "UTF-16LE";
    case Encoding::utf16_be:
        return "UTF-16BE";
    }
    return "UTF-8";
}

// POSIX.1-2017, iconv(): converts until the end, or until bytes that are none of `from`; `in` is what is left.
class Converter {
  public:
    Converter(Encoding to, Encoding from) : descriptor_(iconv_open(charset(to), charset(from))) {
        assert(descriptor_ != none()); // POSIX systems know the three
    }
    Converter(const Converter&) = delete;
    Converter& operator=(const Converter&) = delete;
    ~Converter() { iconv_close(descriptor_); }

    void run(std::string_view& in, std::string& out) {
        std::array<char, 4096> part{};
        char* from = const_cast<char*>(in.data()); // not written to, but so it is declared
        std::size_t left = in.size();
        while (left > 0) {
            char* to = part.data();
            std::size_t room = part.size();
            const bool failed = iconv(descriptor_, &from, &left, &to, &room) == static_cast<std::size_t>(-1);
            out.append(part.data(), part.size() - room);
            if (failed && room == part.size()) break; // else only `part` was full, or it fails again at once
        }
        in.remove_prefix(in.size() - left);
    }

  private:
    static iconv_t none() { return reinterpret_cast<iconv_t>(-1); }

    iconv_t descriptor_;
};

} // namespace

std::string_view byte_order_mark(Encoding encoding) {
    switch (encoding) {
    case Encoding::utf8:
        return "\xEF\xBB\xBF";
    case Encoding::utf16_le:
        return "\xFF\xFE";
    case Encoding::utf16_be:
        return "\xFE\xFF";
    }
    return {};
}

FromUtf16 from_utf16(std::string_view bytes, Encoding encoding) {
    FromUtf16 result;
    Converter(Encoding::utf8, encoding).run(bytes, result.text);
    result.left = bytes.size();
    return result;
}

std::string to_utf16(std::string_view text, Encoding encoding) {
    constexpr std::string_view unknown = "\xEF\xBF\xBD"; // U+FFFD
    std::string out;
    Converter converter(encoding, Encoding::utf8);
    while (true) {
        converter.run(text, out);
        if (text.empty()) return out;
        std::string_view sign = unknown;
        converter.run(sign, out);
        text.remove_prefix(1);
    }
}

bool like_utf16(std::string_view bytes) {
    return bytes.size() >= 2 && (bytes[0] == '\0') != (bytes[1] == '\0');
}

} // namespace downball::text
