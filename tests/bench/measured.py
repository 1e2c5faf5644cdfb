# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""What processes cost, by the kernel's own account of them."""
import os
import platform
import statistics
import subprocess
import sys
import time
from dataclasses import dataclass

# This file loads nothing large: a process begins with the peak memory of the one that started it.


@dataclass
class Cost:
    wall_s: float
    cpu_s: float    # user and system, of the process and of those it waited for
    peak_mb: float  # the largest of them
    said: str = ""  # standard output


def run(command, cwd=None, cores=None, may_fail=False):
    """Runs a program to its end. `cores`: those it may use, "0" or "0,1"; all, if nothing is said."""
    words = [*(["taskset", "-c", cores] if cores else []), *map(str, command)]
    with open(os.devnull) as nothing:
        begin = time.monotonic()
        process = subprocess.Popen(words, cwd=cwd, stdin=nothing, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                                   env={**os.environ, "LC_ALL": "C.UTF-8"})
        with process.stdout, process.stderr:
            said, told = drained(process)
        _, status, usage = os.wait4(process.pid, 0)
        passed = time.monotonic() - begin
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode != 0 and not may_fail:
        sys.exit(f"failed, exit {process.returncode}: {' '.join(words)[:300]}\n{said}{told}")
    return Cost(passed, usage.ru_utime + usage.ru_stime, usage.ru_maxrss * 1024 / 1e6, said)


def drained(process):
    """Both outputs to their ends, without waiting for the process itself, whose account would be lost."""
    import selectors
    found = {process.stdout: b"", process.stderr: b""}
    with selectors.DefaultSelector() as ready:
        for pipe in found:
            ready.register(pipe, selectors.EVENT_READ)
        while ready.get_map():
            for key, _ in ready.select():
                block = os.read(key.fd, 1 << 16)
                found[key.fileobj] += block
                if not block:
                    ready.unregister(key.fileobj)
    return tuple(text.decode(errors="replace") for text in found.values())


def median(costs):
    """Each figure by itself, so that one disturbed run disturbs none of them."""
    middle = [statistics.median(getattr(cost, name) for cost in costs) for name in ("wall_s", "cpu_s", "peak_mb")]
    return Cost(*middle, costs[-1].said)


def interleaved(makers, rounds=3):
    """Medians by name of what each maker measures, in turn, so that what else the machine does falls on all alike."""
    costs = {name: [] for name in makers}
    for _ in range(rounds):
        for name, make in makers.items():
            costs[name].append(make())
    return {name: median(some) for name, some in costs.items()}


def machine():
    """The kind of machine, a line."""
    def first(path, key):
        with open(path, encoding="utf-8") as file:
            return next((line.split(":", 1)[1].strip() for line in file if line.startswith(key)), "?")
    model = first("/proc/cpuinfo", "model name") if os.path.exists("/proc/cpuinfo") else platform.processor()
    memory_gb = int(first("/proc/meminfo", "MemTotal").split()[0]) * 1024 / 1e9
    system = platform.freedesktop_os_release().get("PRETTY_NAME", platform.system())
    busy = os.getloadavg()[0]
    return (f"{model}, {len(os.sched_getaffinity(0))} cores, {memory_gb:.0f} GB, {system}, Linux {platform.release()}; "
            f"{busy:.1f} processes were running at the start")
