// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/commands.h"
#include "cli/interrupt.h"
#include "cli/options.h"
#include "cli/terminal.h"

#include <csignal>
#include <exception>

// Errors of ours are values; what is caught here is a broken promise or a lack of memory.
int main(int argc, char** argv) {
    using namespace downball;
    using namespace downball::cli;
    std::signal(SIGPIPE, SIG_IGN); // a reader that leaves early is a write that fails, see print()
    try {
        Interrupt interrupt;
        const auto parsed = parse_options(argc, argv);
        if (!parsed) {
            complain(to_string(parsed.error()));
            return exit_status(parsed.error().fault);
        }
        if (const auto* answer = std::get_if<Answer>(&*parsed))
            return print(answer->text) == Printed::failed ? exit_status(Fault::cannot_write) : 0;
        const auto& options = std::get<Options>(*parsed);
        Terminal terminal(options.quiet);
        return run(options, terminal, interrupt.token());
    } catch (const std::exception& problem) {
        complain(std::string("this is our own mistake, not yours: ") + problem.what());
        return exit_status(Fault::internal);
    }
}
