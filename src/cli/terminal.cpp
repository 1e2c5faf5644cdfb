// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/terminal.h"

#include <cerrno>
#include <cmath>
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

// Of a stage, from its own pace; nothing where that says little yet.
std::string time_left(double done, double passed_s) {
    if (done < 0.02 || passed_s < 2 || done >= 1) return {};
    const auto left_s = static_cast<long>(std::ceil(passed_s * (1 - done) / done));
    return left_s < 100 ? fmt::format(", about {} s left", left_s)
                        : fmt::format(", about {} min left", (left_s + 30) / 60);
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
    const auto now = std::chrono::steady_clock::now();
    if (stage != stage_) {
        stage_ = stage;
        begun_ = now;
    }
    const std::chrono::duration<double> passed = now - begun_;
    auto line = fmt::format("{}: {:3.0f} %{}", stage, 100 * done, time_left(done, passed.count()));
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
