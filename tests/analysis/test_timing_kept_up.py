"""What a text costs after any series of edits is what it costs when worked out anew, however the work was left off."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from fixtures import analysed, edit_at, finish, found_in, setup_of

from waywright import demo
from waywright.analysis import timing
from waywright.analysis.engine import Analysis
from waywright.analysis.timing import MOST_MARKS, Timing
from waywright.meaning.library import NO_LIBRARY, Library, NoLibrary, Program
from waywright.meaning.run import Bounds
from waywright.motion.operations import Accountant, Mark
from waywright.rules.registry import motion_modules
from waywright.setup.find import load_file
from waywright.setup.model import Setup
from waywright_grammar.reader import read_block

FILE = """
[machine]
unit = "mm"
plain_numbers = "increment"
[axes.X]
home = 0.0
rapid = 20000
acceleration = 4000
[axes.Z]
home = 0.0
rapid = 24000
acceleration = 5000
[index_position]
X = -130.0
Z = -120.0
[turret]
stations = 8
index_fixed = 0.3
index_per_station = 0.1
both_ways = true
[work_offsets.G54]
X = -480.0
Z = -412.0
[work_offsets.G55]
X = -480.0
Z = -437.0
""" + "".join(f"[[tools]]\nstation = {each}\noffset = {each}\nX = 9{each}.0\nZ = 3{each}.0\n" for each in range(1, 5))
SETUP = setup_of(FILE)

PIECES = (
    "T0101\nG54\nG0 X52. Z2.\nG1 Z-30. F.2\nG28 U0.\nG28 W0.\n",
    "T0202\nG0 X0. Z5.\nG1 Z-20. F.1\nG53 G0 Z0.\nG53 G0 X0.\n",
    "T0303\nG0 X60. Z2.\nG71 U2. R.5\nG71 P10 Q20 U.4 W.1 F.2\nN10 G0 X20.\nG1 Z-12.\nN20 X52.\nG28 U0. W0.\n",
    "T0404\nG0 X60. Z2.\nG70 P10 Q20\nG53 G0 X-130.\nG53 G0 Z-120.\n",
    "#1=0\nWHILE[#1LT2]DO1\nT0101\nG0 X50. Z2.\nG1 Z[-10.-#1] F.2\nG28 U0. W0.\n#1=#1+1\nEND1\n",
    "T0202\nM98 P2000\nG28 U0. W0.\n",
    "IF[#5EQ1]GOTO30\nGOTO40\nN30 G4 U2.\nN40 T0303\nG0 X40. Z2.\nG1 X30. F.1\nG28 U0.\n",
)
ENDS = "M30\nO2000\nG0 X44. Z2.\nG1 Z-8. F.2\nG0 Z2.\nM99\n"
LINES = (
    "T0101",
    "T0404",
    "G55",
    "G0 X52. Z2.",
    "G1 Z-30. F.2",
    "G28 U0. W0.",
    "G53 G0 X0.",
    "N10 G0 X20.",
    "N20 G1 Z-20.",
    "N30",
    "N40 G1 X4. F.1",
    "N30 T0101",
    "N40 T0202",
    "GOTO 40",
    "G70 P30 Q40",
    "G1 X60. ,R2.",
    "(only a comment)",
    "M98 P2000 L2",
    "GOTO 30",
    "#1=1",
    "#5=1",
    "/T0202",
    "G0 X41. /2 Z4.",
    "M98 P2000",
    "M98 P3000",
    "M99 P40",
    "M99",
    "O2000",
    "O3000",
    "M30",
    "G50 X200. Z100.",
    "G97 S800 M3",
    "G20",
    "END1",
    "WHILE[#1LT3]DO1",
    "(WAYWRIGHT ALLOW home-is-too-far)",
    "",
)


def told(timing: Timing, analysis: Analysis) -> tuple[object, ...]:
    """All that there is to know of the account, and the findings."""
    account = timing.account
    if account is None:
        return (None, found_in(analysis))
    end = account.ended
    assert end is not None
    ended = (
        end.why,
        end.place.line,
        [each.line for each in end.stack],
        end.state,
        end.steps,
        end.number,
        end.variables,
    )
    return account.operations, account.retracts, account.assumed, account.unknown, ended, found_in(analysis)


def assert_as_fresh(timing: Timing, analysis: Analysis, bounds: Bounds) -> None:
    finish(analysis)
    timing.finish()
    assert timing.is_current
    fresh = Analysis(analysis.document.text(), analysis.setup, analysis.library)
    finish(fresh)
    anew = Timing(fresh, bounds)
    anew.finish()
    assert told(timing, analysis) == told(anew, fresh)
    assert analysis.troubles == {}


def edit_at_random(analysis: Analysis, rng: random.Random) -> None:
    text = analysis.document.text()
    if rng.random() < 0.5:
        at = rng.randrange(len(text) + 1)
        edit_at(analysis, at, min(len(text), at + rng.randrange(3)), rng.choice(["", "1", "Z", "5.", "\n", "/"]))
        return
    lines = analysis.document.lines
    line = rng.randrange(len(lines) + 1)
    start = sum(map(len, lines[:line]))
    end = start + (len(lines[line]) if line < len(lines) and rng.random() < 0.5 else 0)
    edit_at(analysis, start, end, rng.choice(LINES) + "\n" if rng.random() < 0.8 else "")


def keep_editing(analysis: Analysis, rng: random.Random, edits: int, bounds: Bounds) -> None:
    timing = Timing(analysis, bounds)
    for _ in range(edits):
        edit_at_random(analysis, rng)
        if rng.random() < 0.4:
            # Left off in the middle, and edited again before it was finished.
            finish(analysis)
            for _, _ in zip(timing.steps(), range(rng.randrange(60)), strict=False):
                pass
            continue
        assert_as_fresh(timing, analysis, bounds)
    assert_as_fresh(timing, analysis, bounds)


@pytest.mark.parametrize("seed", range(40))
def test_made_up_programs(seed: int) -> None:
    rng = random.Random(seed)
    text = "G21 G40 G99\nG97 S900 M3\n" + "".join(rng.choice(PIECES) for _ in range(6)) + ENDS
    keep_editing(Analysis(text, SETUP), rng, 25, Bounds(steps=400))


@pytest.mark.parametrize("name", sorted(path.name for path in Path(demo.__file__).parent.glob("*.nc")))
def test_demo_programs(name: str) -> None:
    folder = Path(demo.__file__).parent
    analysis = Analysis((folder / name).read_text(), load_file(folder / "lathe.toml"))
    keep_editing(analysis, random.Random(name), 12, Bounds(steps=2_000))


def counted(timing: Timing, monkeypatch: pytest.MonkeyPatch) -> int:
    """How many events are taken until it is finished."""
    taken = []
    take = Accountant.take
    with monkeypatch.context() as patch:
        patch.setattr(Accountant, "take", lambda self, event: (taken.append(event), take(self, event)))
        timing.finish()
    return len(taken)


def many(operations: int) -> str:
    return "G21 G40 G99\nG97 S900 M3\n" + PIECES[0] * operations + "M30\n"


def at_line(analysis: Analysis, line: int, text: str) -> None:
    analysis.edit((line, 0), (line + 1, 0), text)
    finish(analysis)


def test_an_edit_in_the_last_operation_runs_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    analysis = Analysis(many(50), SETUP)
    finish(analysis)
    timing = Timing(analysis)
    whole = counted(timing, monkeypatch)
    assert whole == 2 + 50 * 6 + 2
    assert counted(timing, monkeypatch) == 0
    at_line(analysis, 2 + 49 * 6 + 3, "G1 Z-31. F.2\n")
    assert counted(timing, monkeypatch) == 6 + 2
    at_line(analysis, 2 + 25 * 6 + 3, "G1 Z-31. F.2\n")
    assert counted(timing, monkeypatch) == 25 * 6 + 2
    at_line(analysis, 0, "G21 G40\n")
    assert counted(timing, monkeypatch) == whole


def test_a_long_program_keeps_few_marks_all_over_it(monkeypatch: pytest.MonkeyPatch) -> None:
    analysis = Analysis(many(300), SETUP)
    finish(analysis)
    timing = Timing(analysis)
    counted(timing, monkeypatch)
    at_line(analysis, 2 + 298 * 6 + 3, "G1 Z-31. F.2\n")
    # Of 300 operations every 8th has a mark.
    assert counted(timing, monkeypatch) <= 300 // (MOST_MARKS // 2) * 6 + 6 * 2 + 2


def test_a_loop_of_tool_calls_makes_few_marks_which_share_operations(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    text = "#1=0\nWHILE[#1LT900]DO1\nT0101\nG1 X50. F.1\nT0202\nG1 X60. F.1\n#1=#1+1\nEND1\nM30\n"
    analysis = Analysis(text, SETUP)
    finish(analysis)
    made: list[Mark] = []
    mark = Accountant.mark
    with monkeypatch.context() as patch:
        patch.setattr(Accountant, "mark", lambda self: (made.append(mark(self)), made[-1])[1])
        timing = Timing(analysis)
        timing.finish()
    assert timing.account is not None
    assert len(timing.account.operations) == 1800
    # Of 1,800 calls those that are kept, and those that are given up each time that there are too many.
    assert MOST_MARKS < len(made) <= MOST_MARKS // 2 * 7
    # All but the last operation, which still grows, are the same in each mark and are not copied.
    assert len({id(each) for mark in made for each in mark.done}) <= 1800 + len(made)


def test_what_a_cycle_reads_further_down_counts_as_read(monkeypatch: pytest.MonkeyPatch) -> None:
    # The finishing cycle stands above its profile, and two operations between them.
    text = "G21 G99\nG97 S900 M3\nT0101\nG54\nG0 X60. Z2.\nG70 P10 Q20\nG28 U0. W0.\n" + PIECES[0] * 2
    text += "GOTO 50\nN10 G0 X20.\nG1 Z-12. F.1\nN20 X52.\nN50 M30\n"
    analysis = Analysis(text, SETUP)
    timing = Timing(analysis)
    finish(analysis)
    timing.finish()
    at_line(analysis, 21, "G1 Z-14. F.1\n")
    assert analysis.document.lines[20] == "N10 G0 X20.\n"
    assert_as_fresh(timing, analysis, Bounds())


def test_a_program_further_down_counts_as_read_from_its_call_on(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "G21 G99\nG97 S900 M3\n" + PIECES[5] + PIECES[0] * 3 + ENDS
    analysis = Analysis(text, SETUP)
    timing = Timing(analysis)
    finish(analysis)
    timing.finish()
    # The run goes on from a mark behind the call, and the marks that it makes then still count the call.
    at_line(analysis, 14, "G1 Z-31. F.2\n")
    assert counted(timing, monkeypatch) == 6 * 2 + 2
    assert analysis.document.lines[26] == "G1 Z-8. F.2\n"
    at_line(analysis, 26, "G1 Z-9. F.2\n")
    assert_as_fresh(timing, analysis, Bounds())


def test_a_block_put_in_above_an_operation_that_is_jumped_to() -> None:
    text = "G21 G99\nG97 S900 M3\nT0202\nG0 X60. Z2.\nGOTO 30\nG4 U1.\nN30 T0101\nG0 X50.\nG1 Z-4. F.1\nM30\n"
    analysis = Analysis(text, SETUP)
    timing = Timing(analysis)
    finish(analysis)
    timing.finish()
    analysis.edit((6, 0), (6, 0), "G4 U5.\n")
    assert_as_fresh(timing, analysis, Bounds())
    assert timing.account is not None
    assert [each.dwell for each in timing.account.operations] == [0.0, 0.0]


def test_a_finding_comes_goes_and_moves_with_its_line() -> None:
    analysis = Analysis("G21 G40 G99\nG97 S900 M3\n" + PIECES[0] + PIECES[1] + "M30\n", SETUP)
    finish(analysis)
    timing = Timing(analysis)
    timing.finish()
    assert timing.changed
    rules = [(mark.line, mark.rule) for mark in found_in(analysis) if mark.rule in motion_modules()]
    assert rules == [(6, "home-is-too-far"), (11, "home-is-too-far")]
    # Until it is worked out anew it stays on a line that stays, and is gone from one that does not.
    analysis.edit((3, 0), (3, 0), "G99\n")
    at_line(analysis, 12, "G53 G0 Z-120.\n")
    assert [mark.line for mark in found_in(analysis) if mark.rule in motion_modules()] == [7]
    timing.finish()
    # X alone still goes home.
    assert [mark.line for mark in found_in(analysis) if mark.rule in motion_modules()] == [7, 13]
    at_line(analysis, 4, "G54\n")
    timing.finish()
    assert not timing.changed


class Beside(NoLibrary):
    def __init__(self) -> None:
        self.text = ""

    def program(self, number: int) -> Program | None:
        blocks = [read_block(f"{line}\n") for line in self.text.split("\n")]
        return Program(number, "/shop/O4000", 0, blocks) if number == 4000 and self.text else None


def test_a_called_file_that_changes() -> None:
    beside = Beside()
    beside.text = "O4000\nG0 X50. Z2.\nG1 Z-20. F.2\nM99"
    library: Library = beside
    assert library is not NO_LIBRARY
    analysis = Analysis("G21 G99\nG97 S900 M3\n" + PIECES[0] + "T0202\nM98 P4000\nG28 U0. W0.\nM30\n", SETUP, library)
    finish(analysis)
    timing = Timing(analysis)
    timing.finish()
    assert timing.account is not None
    before = timing.account.operations[1].cut
    beside.text = beside.text.replace("Z-20.", "Z-40.")
    analysis.called_again()
    assert not timing.is_current
    assert_as_fresh(timing, analysis, Bounds())
    assert timing.account.operations[1].cut != before


def test_a_rule_that_fails_and_a_run_that_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*arguments: object) -> None:
        raise KeyError("on purpose")

    for where, name in ((motion_modules()["home-is-too-far"], "found"), (Accountant, "take")):
        analysis = Analysis(many(2), SETUP)
        finish(analysis)
        before = found_in(analysis)
        with monkeypatch.context() as patch:
            patch.setattr(where, name, fail)
            Timing(analysis).finish()
        assert analysis.troubles == {"home-is-too-far": "KeyError: 'on purpose'"}
        assert found_in(analysis) == before


def test_a_loop_that_only_reckons_can_be_left_off() -> None:
    analysis = Analysis("#1=0\nWHILE[#1LT9000]DO1\n#1=#1+1\nEND1\nM30\n", Setup())
    finish(analysis)
    assert sum(1 for _ in Timing(analysis).steps()) > 200


def test_a_run_of_too_many_moves_is_broken_off(monkeypatch: pytest.MonkeyPatch) -> None:
    # A groove of 2 mm in pecks of .02 is some 200 moves, and the loop has it 500 times.
    monkeypatch.setattr(timing, "MOST_MOVES", 1000)
    loop = "#1=0\nWHILE[#1LT500]DO1\nG0 X54. Z-20.\nG75 R.01\nG75 X50. P20 F.1\n#1=#1+1\nEND1\n"
    analysis = analysed(f"G21 G99 G97\nT0101\nG54\nS800 M3\n{loop}G53 G0 X0.\nM30\n", setup=SETUP)
    kept = Timing(analysis)
    kept.finish()
    assert kept.account is None
    assert kept.is_current
    analysis.edit((5, 9), (5, 12), "2")
    finish(analysis)
    kept.finish()
    assert kept.account is not None
