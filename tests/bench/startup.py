"""The command line starts in at most 1.6 times what importing its libraries takes: `import lark, msgspec, rich`.

Measured on `waywright check` of a program of one plain block, without and with a machine file, and on `waywright
--help`, each in turn with the yardstick so that a busy moment falls on all of them, by the median. All run from
compiled files, as an installation does, also where the environment forbids to write them. Exits with 1 above the
budget.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

BUDGET = 1.6
RUNS = 21


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        program = Path(folder, "one.nc")
        program.write_text("G0 X50. Z2.\n")
        machine = Path(folder, "machine.toml")
        machine.write_text('[machine]\ncode_system = "A"\nunit = "mm"\n[axes.X]\ntravel = [-240.0, 0.5]\nhome = 0.0\n')
        waywright = [sys.executable, "-c", "from waywright.cli.main import main; main()"]
        commands = {
            "yardstick": [sys.executable, "-c", "import lark, msgspec, rich"],
            "check": [*waywright, "check", str(program)],
            "check --setup": [*waywright, "check", str(program), "--setup", str(machine)],
            "help": [*waywright, "--help"],
        }
        environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        environment["PYTHONPYCACHEPREFIX"] = str(Path(folder, "compiled"))
        for command in commands.values():  # once, which compiles
            seconds(command, environment)
        times: dict[str, list[float]] = {name: [] for name in commands}
        for _ in range(RUNS):
            for name, command in commands.items():
                times[name].append(seconds(command, environment))
    medians = {name: statistics.median(taken) for name, taken in times.items()}
    over = False
    for name, median in medians.items():
        ratio = median / medians["yardstick"]
        over |= ratio > BUDGET
        print(f"{name}: {median * 1000:.0f} ms, {ratio:.2f} of the yardstick (budget {BUDGET})")
    return 1 if over else 0


def seconds(command: list[str], environment: dict[str, str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True, env=environment)
    return time.perf_counter() - start


if __name__ == "__main__":
    sys.exit(main())
