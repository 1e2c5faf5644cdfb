// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/terminal.h"

#include <cerrno>
#include <cstdio>
#include <fmt/format.h>
#include <unistd.h>

namespace downball::cli {

namespace {

// Whatever fails here, nobody is left to be told: fmt::print would throw instead.
void tell(const std::string& text) {
    std::fwrite(text.data(), 1, text.size(), stderr);
    std::fflush(stderr);
}

} // namespace

Terminal::Terminal(bool quiet) : quiet_(quiet), terminal_(!quiet && ::isatty(STDERR_FILENO) == 1) {}

Terminal::~Terminal() {
    clear_progress();
}

void Terminal::say(std::string_view line) {
    if (quiet_) return;
    clear_progress();
    tell(fmt::format("{}\n", line));
}

void Terminal::progress(std::string_view stage, double done) {
    if (!terminal_) return;
    auto line = fmt::format("{}: {:3.0f} %", stage, 100 * done);
    if (line == shown_) return;
    clear_progress();
    tell(line);
    shown_ = std::move(line);
}

pipeline::Talk Terminal::talk(std::stop_token stop) {
    return {[this](std::string_view line) { say(line); },
            [this](std::string_view stage, double done) { progress(stage, done); }, std::move(stop)};
}

void Terminal::clear_progress() {
    if (shown_.empty()) return;
    tell(fmt::format("\r{:{}}\r", "", shown_.size()));
    shown_.clear();
}

void complain(std::string_view line) {
    tell(fmt::format("downball: {}\n", line));
}

Printed print(std::string_view text) {
    errno = 0;
    if (std::fwrite(text.data(), 1, text.size(), stdout) == text.size() && std::fflush(stdout) == 0)
        return Printed::all;
    return errno == EPIPE ? Printed::unread : Printed::failed;
}

} // namespace downball::cli
