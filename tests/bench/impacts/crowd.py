# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""In how many recordings of each class of the bank a crowd is heard for half of the time or more, which is what makes a
clip without contacts a reaction: the crowds should be, the others should not."""
import json
import os
import subprocess
import sys

CLASSES = ["crowd", "clap", "speech", "music", "surf", "whistle"]
MOSTLY = 0.5


def share(tool, path):
    done = subprocess.run([tool, "impacts", "--json", path], capture_output=True, text=True)
    return json.loads(done.stdout)["crowd"] if done.returncode == 0 else None


def main():
    tool, bank = sys.argv[1:3]
    print(f"{'recordings with a crowd':<26}{'mostly':>8}{'of':>5}{'median share':>14}")
    for kind in CLASSES:
        paths = [os.path.join(bank, half, kind, name) for half in ("fit", "apart")
                 if os.path.isdir(os.path.join(bank, half, kind)) for name in sorted(os.listdir(os.path.join(bank, half, kind)))]
        shares = sorted(found for found in (share(tool, path) for path in paths) if found is not None)
        if shares:
            print(f"{kind:<26}{sum(one >= MOSTLY for one in shares):>8}{len(shares):>5}{shares[len(shares) // 2]:>14.2f}")


if __name__ == "__main__":
    main()
