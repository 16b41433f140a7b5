"""What a keystroke costs: from didChange to the publication of its version, over standard input and output.

Seeded random edits to a program of which about 5 % of the lines have findings, each sent to our server and to a pygls
server that does nothing but keep the text, in turn, so that a busy moment falls on both. The client does the same for
both and does not parse what it gets. Exits with 1 above the budget.

Machines differ: what took 1.25 to 1.67 times as long as nothing with 2,000 blocks on the machine for which the budgets
were set took 1.56 to 1.71 times as long on another one. Up to three tenths more are let pass, and told.

The same once more with a machine file that tells all that times need, and with pauses between the edits in which the
second tier begins, and after which it is at work when the next keystroke comes.

Beside it, without a budget: the edit that changes the meaning of every line (G54 to G55 on line 5), by the time to the
findings of the new text and by the hovers meanwhile.
"""

from __future__ import annotations

import json
import random
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from keystroke_client import URI, Client, answers, publishes

from waywright import demo

EDITS = 300
MOST_MEASURED = 4
"""A busy moment can fall on one of the two servers: only what is above its budget so often is above it."""
WARM_UP = 20
SEED = 20
BUDGETS = {2_000: 1.5, 10_000: 1.5, 100_000: 0.99}
"""By blocks: p95 as a multiple of the do-nothing server's."""

ON_ANOTHER_MACHINE = 1.3

CALLED = {10_000: 50}
"""By blocks: the same once more for a text that holds so many programs which the first one calls."""

CALLED_BLOCKS = 40

PAUSED = {10_000: 100}
"""By blocks: so many edits with pauses between them, under the machine file of the demo."""

PAUSE = 0.3
"""Seconds, of which the second tier waits for a quarter of one and then has begun."""

OURS = [sys.executable, "-c", "from waywright.cli.main import main; main()", "serve"]
DO_NOTHING = [sys.executable, str(Path(__file__).with_name("keystroke_do_nothing.py"))]


@dataclass
class Measured:
    """Milliseconds. trace: to the findings after the edit on line 5; hovers: near it, until then; far: on the last
    line, which has to wait for the trace to get there; findings: of the opened text."""

    blocks: int
    called: int
    findings: int
    paused: bool
    ours: list[float]
    do_nothing: list[float]
    trace: float
    hovers: list[float]
    far: float

    @property
    def ratio(self) -> float:
        return quantile(self.ours, 0.95) / quantile(self.do_nothing, 0.95)


def main() -> int:
    over = False
    cases = [
        *((size, EDITS, 0, 0.0) for size in BUDGETS),
        *((size, EDITS, called, 0.0) for size, called in CALLED.items()),
    ]
    for size, edits, called, pause in [*cases, *((size, edits, 0, PAUSE) for size, edits in PAUSED.items())]:
        budget, least = BUDGETS[size], 0.0
        for number in range(MOST_MEASURED):
            measured = measure(size, edits, called, pause)
            print(report(measured, budget), flush=True)
            least = min(least, measured.ratio) if number else measured.ratio
            if least <= budget:
                break
        else:
            within = least <= budget * ON_ANOTHER_MACHINE
            print(f"  exceeded by {least / budget - 1:.0%}{', as on some machines' if within else ''}", flush=True)
            over = over or not within
    return 1 if over else 0


def report(measured: Measured, budget: float) -> str:
    called = f" with {measured.called} called programs" if measured.called else ""
    paused = ", a machine file, pauses" if measured.paused else ""
    lines = [f"{measured.blocks} blocks{called}{paused}, findings on {measured.findings} ({len(measured.ours)} edits):"]
    for name, times in (("waywright", measured.ours), ("do nothing", measured.do_nothing)):
        shown = ", ".join(f"{label} {quantile(times, at):.2f}" for label, at in QUANTILES)
        lines.append(f"  {name}: {shown} ms")
    lines.append(f"  p95 is {measured.ratio:.2f} of the do-nothing server's (budget {budget})")
    hovers = f"{len(measured.hovers)} hovers beside it at most {max(measured.hovers):.1f} ms"
    lines.append(f"  G54 to G55 on line 5: findings after {measured.trace:.0f} ms, {hovers}; ")
    lines[-1] += f"a hover on the last line {measured.far:.0f} ms"
    return "\n".join(lines)


QUANTILES = (("median", 0.5), ("p95", 0.95), ("p99", 0.99), ("worst", 1.0))


def quantile(times: list[float], at: float) -> float:
    return sorted(times)[min(len(times) - 1, int(len(times) * at))]


def measure(blocks: int, edits: int, called: int = 0, pause: float = 0.0) -> Measured:
    """pause: seconds between two edits; where there are any there is a machine file too."""
    folder = Path(demo.__file__).parent if pause else None
    uri = URI if folder is None else (folder / "keystroke.nc").as_uri()
    choose = random.Random(SEED + blocks)
    lines = with_calls(blocks, called, choose) if called else program(blocks, choose)
    text = "".join(lines)
    with Client(OURS, uri) as ours, Client(DO_NOTHING, uri) as do_nothing:
        for client in (ours, do_nothing):
            client.start(text)
        findings = lines_with_findings(ours, blocks)
        times: dict[Client, list[float]] = {ours: [], do_nothing: []}
        for number in range(WARM_UP + edits):
            change = edit(lines, choose)
            ours.rest(pause)
            for client in (ours, do_nothing) if number % 2 else (do_nothing, ours):
                started = time.perf_counter()
                client.change(number + 3, change)
                client.published(number + 3)
                times[client].append((time.perf_counter() - started) * 1000)
        version = WARM_UP + edits + 3
        trace, hovers = retrace(ours, version, "G55", 8)
        _, far = retrace(ours, version + 1, "G54", len(lines) - 2)
        for client in (ours, do_nothing):
            client.stop()
    return Measured(
        blocks, called, findings, pause > 0, times[ours][WARM_UP:], times[do_nothing][WARM_UP:], trace, hovers, far[0]
    )


def retrace(client: Client, version: int, offset: str, line: int) -> tuple[float, list[float]]:
    """Changes the offset on line 5 and hovers on a line until the findings come: the time to them, and the hovers'."""
    started = asked = time.perf_counter()
    client.change(version, {"range": span(4, 0, 4, 3), "text": offset})
    hover = client.hover(line)
    trace: float | None = None
    hovers: list[float] = []
    while True:
        frame = client.frame()
        now = time.perf_counter()
        if publishes(frame) == version:
            trace = (now - started) * 1000
        elif answers(frame) == hover:
            hovers.append((now - asked) * 1000)
            # The one asked while the findings were being written counts too.
            if trace is not None:
                return trace, hovers
            asked = now
            hover = client.hover(line)


def lines_with_findings(client: Client, blocks: int) -> int:
    """Counted in the publication of a change that changes nothing."""
    client.change(2, {"range": span(0, 0, 0, 0), "text": ""})
    diagnostics = json.loads(client.published(2))["params"]["diagnostics"]
    return len({diagnostic["range"]["start"]["line"] for diagnostic in diagnostics})


def program(blocks: int, choose: random.Random) -> list[str]:
    """A long turning program as a shop would have it, with a fault on about every twentieth line."""
    lines = ["%\n", "O2001 (LONG FITTING)\n", "G21 G40 G99\n", "G50 S2500\n", "G54\n"]
    station = 0
    while len(lines) < blocks - 2:
        station = station % 8 + 1
        lines += [f"N{station}0 T{station:02d}{station:02d}\n", "G96 S180 M3\n", "G0 X62. Z2. M8\n"]
        lines += cuts(choose.randrange(20, 60), len(lines), choose)
        lines += ["G0 Z5. M9\n", "G97 S900\n", "G28 U0.\n", "G28 W0.\n"]
    return [*lines[: blocks - 2], "M30\n", "%\n"]


def cuts(count: int, line: int, choose: random.Random) -> list[str]:
    """So many cuts, faults among them, from that line of the program on."""
    lines: list[str] = []
    x = 62.0
    for at in range(line, line + count):
        x -= choose.randrange(1, 30) / 100
        kind = choose.random()
        if kind < 0.055:
            lines.append(choose.choice(FAULTS))
        elif kind < 0.4:
            lines.append(f"G1 X{x:.2f} F0.2\n")
        elif kind < 0.7:
            lines.append(f"Z-{choose.randrange(1, 6000) / 100:.2f}\n")
        elif kind < 0.8:
            lines.append(f"G0 Z2. (PASS {at})\n")
        else:
            lines.append(f"X{x:.3f} Z-{choose.randrange(1, 6000) / 100:.2f}\n")
    return lines


def with_calls(blocks: int, called: int, choose: random.Random) -> list[str]:
    """A program like the others, of whose operations every third one calls one of so many short programs behind it."""
    each = CALLED_BLOCKS
    main: list[str] = []
    operations = 0
    for line in program(blocks - each * called, choose):
        if line == "G97 S900\n":
            operations += 1
            # Each is called once, and a few by a second operation.
            main += [f"M98 P{7000 + operations // 3 % called}\n"] if operations % 3 == 0 else []
        main.append(line)
    lines = [*main[: blocks - each * called - 2], "M30\n"]
    for number in range(called):
        lines += [f"O{7000 + number}\n", "G0 X62. Z2.\n", *cuts(each - 3, len(lines), choose), "M99\n"]
    return [*lines[: blocks - 1], "%\n"]


FAULTS = (
    "G28 X0. Z0.\n",
    "G28 W-5.\n",
    "G28\n",
    "G1 Z,15\n",
    "G0 X--3.\n",
    "G0 Z2. (OPEN\n",
    "X50. X51.\n",
    "G0 G1 X40.\n",
)


def edit(lines: list[str], choose: random.Random) -> dict[str, Any]:
    """A keystroke, or a line more or less, done to the lines and given as the protocol says it. All of it is ASCII."""
    line = choose.randrange(6, len(lines) - 3)
    text = lines[line]
    column = choose.randrange(len(text))
    kind = choose.random()
    if kind < 0.5:
        typed = choose.choice("0123456789.-XZG ")
        lines[line] = text[:column] + typed + text[column:]
        return {"range": span(line, column, line, column), "text": typed}
    if kind < 0.8 and len(text) > 1:
        column = min(column, len(text) - 2)
        lines[line] = text[:column] + text[column + 1 :]
        return {"range": span(line, column, line, column + 1), "text": ""}
    if kind < 0.9:
        lines.insert(line, "X41.5 Z-12.\n")
        return {"range": span(line, 0, line, 0), "text": "X41.5 Z-12.\n"}
    del lines[line]
    return {"range": span(line, 0, line + 1, 0), "text": ""}


def span(line: int, column: int, end_line: int, end_column: int) -> dict[str, dict[str, int]]:
    return {"start": {"line": line, "character": column}, "end": {"line": end_line, "character": end_column}}


if __name__ == "__main__":
    sys.exit(main())
