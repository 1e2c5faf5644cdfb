// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <fmt/format.h>
#include <fstream>
#include <string>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>
#include <vector>

namespace downball::bench {

// What one process cost.
struct Run {
    bool good = false;           // it exited with 0
    double cpu_s = 0;            // user and system
    std::int64_t read_bytes = 0; // by read calls, from the disk or its cache
    std::int64_t peak_bytes = 0; // resident
    std::string said;            // its stdout
};

// Linux counts what a process reads under /proc, until its parent has waited for it.
inline std::int64_t bytes_read(pid_t process) {
    std::ifstream file(fmt::format("/proc/{}/io", process));
    std::string key;
    std::int64_t bytes = 0;
    while (file >> key >> bytes)
        if (key == "rchar:") return bytes;
    return 0;
}

inline double cpu_s(const rusage& usage) {
    const auto in_s = [](timeval time) {
        return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
    };
    return in_s(usage.ru_utime) + in_s(usage.ru_stime);
}

inline Run run(const std::vector<std::string>& words) {
    std::vector<char*> arguments;
    for (const auto& word : words)
        arguments.push_back(const_cast<char*>(word.c_str()));
    arguments.push_back(nullptr);
    Run run;
    std::array<int, 2> ends{};
    if (pipe(ends.data()) != 0) return run;
    const pid_t process = fork();
    if (process == 0) {
        dup2(ends[1], STDOUT_FILENO);
        close(ends[0]);
        close(ends[1]);
        execvp(arguments[0], arguments.data());
        _exit(127);
    }
    close(ends[1]);
    std::array<char, 4096> text{};
    for (auto got = read(ends[0], text.data(), text.size()); process > 0 && got > 0;
         got = read(ends[0], text.data(), text.size()))
        run.said.append(text.data(), static_cast<std::size_t>(got));
    close(ends[0]);
    if (process < 0) return run;
    siginfo_t ended{};
    waitid(P_PID, static_cast<id_t>(process), &ended, WEXITED | WNOWAIT);
    run.read_bytes = bytes_read(process);
    int status = 0;
    rusage usage{};
    wait4(process, &status, 0, &usage);
    run.good = WIFEXITED(status) && WEXITSTATUS(status) == 0;
    run.cpu_s = cpu_s(usage);
    run.peak_bytes = usage.ru_maxrss * std::int64_t{1024};
    return run;
}

} // namespace downball::bench
