"""What operations and retracts cost, worked out by hand for a lathe with round rates (`timed_lathe.py`, which also says
how long a rapid takes there). Every block that moves in rapid has .1 s of settling in it."""

from __future__ import annotations

import pytest
from costing import Costing, account, demo
from timed_lathe import INDEX, LATHE, TURRET, TWO_TOOLS

from waywright.meaning.run import Ended
from waywright.meaning.state import X, Z
from waywright.motion.operations import COMPLETE, Account, Accountant, total

HEAD = "G21 G97 G99\nG54\n"
APPROACH = "G0 X40. Z5. S1000 M3\n"
"""From home: X over 130 mm .85, Z over 400 mm 2.2: 2.3 s. From the index position: X 80 mm .6, Z 300 mm 1.7: 1.8 s."""
CUT = "G1 Z-35. F.2\n"
"""40 mm at 200 mm/min: 12 s. To machine Z-440."""
HOME = "G53 G0 X0.\nG53 G0 Z0.\n"
"""From X40. Z-35.: X 130 mm .95, Z 440 mm 2.5: 3.45 s. To the index position X 80 mm .7, Z 340 mm 2.: 2.7 s."""


def operations(found: Account) -> list[tuple[float | None, ...]]:
    """Cut, rapid, retract, index and dwell of each operation."""
    return [
        tuple(
            None if each is None else round(each, 5) for each in (one.cut, one.rapid, one.retract, one.index, one.dwell)
        )
        for one in found.operations
    ]


def retracts(found: Account) -> list[tuple[float | None, ...]]:
    """The operation that it is of, as written, by home, by the index position."""
    return [
        (
            one.operation,
            *(
                None if each is None else round(each, 5)
                for each in (one.as_written, one.by_home, one.by_index_position)
            ),
        )
        for one in found.retracts
    ]


def test_rapids_between_cuts_and_out_of_the_way() -> None:
    found = account(TWO_TOOLS, LATHE)
    assert operations(found) == [(24.0, 1.1, 6.05, 0.9, 0.0), (12.0, 0.0, 5.95, 0.9, 1.5)]
    assert retracts(found) == [(0, 6.05, 6.05, 4.8), (1, 5.95, 5.95, 4.7)]
    assert [(each.line, each.station, each.tool) for each in found.operations] == [(1, 1, 1), (13, 3, 3)]
    assert [each.by_index_position for each in found.operations] == pytest.approx([4.8, 4.7])
    assert found.seconds == pytest.approx(52.4)
    assert found.retracts_in_all() == pytest.approx((12.0, 12.0, 9.5))
    assert found.retracts[0].home == ((X, 11), (Z, 12))
    assert found.unknown == ()


def test_one_tool_comes_back_to_itself() -> None:
    # The turret stands where it stood, and the way in follows the way out.
    found = account(f"{HEAD}T0101\n{APPROACH}{CUT}{HOME}M30", LATHE)
    assert operations(found) == [(12.0, 0.0, 3.45 + 2.3, 0.0, 0.0)]
    assert retracts(found) == [(0, 5.75, 5.75, 2.7 + 1.8)]
    assert "the part before ended where this program ends" in found.assumed


def test_a_bar_stop_between_two_tools() -> None:
    # In: X home to machine X-300 over 150 mm .95, Z 2.2: 2.3 s, by the index position X 100 mm .7, Z 300 mm 1.7: 1.8 s.
    # Out: Z 400 mm 2.3, X 150 mm 1.05, and 2.3 back: 5.65 s. To the index position Z 300 mm 1.8, X 100 mm .8.
    stop = "T0404\nG0 X0. Z5.\nG4 X2.\nG53 G0 Z0.\nG53 G0 X0.\n"
    found = account(f"{HEAD}T0101\n{APPROACH}{CUT}{HOME}{stop}T0303\n{APPROACH}{CUT}{HOME}M30", LATHE)
    assert operations(found) == [
        (12.0, 0.0, 3.45 + 2.3, 0.9, 0.0),
        (0.0, 0.0, 5.65, 1.1, 2.0),
        (12.0, 0.0, 3.45 + 2.3, 0.7, 0.0),
    ]
    assert retracts(found) == [
        (0, 5.75, 5.75, 2.7 + 1.8),
        (1, 5.65, 5.65, 1.8 + 0.8 + 1.8),
        (2, 5.75, 5.75, 2.7 + 1.8),
    ]


def test_a_station_without_moves() -> None:
    # The way out of the first tool ends at the third one's way in.
    found = account(f"{HEAD}T0101\n{APPROACH}{CUT}{HOME}T0404\nT0303\n{APPROACH}{CUT}{HOME}M30", LATHE)
    assert operations(found)[:2] == [(12.0, 0.0, 5.75, 0.9, 0.0), (0.0, 0.0, 0.0, 1.1, 0.0)]
    assert retracts(found)[0] == (0, 5.75, 5.75, 4.5)


def test_a_station_that_only_goes_out_of_the_way() -> None:
    # The first tool ends where it cut. The turret turns there, and only then it goes home: from the index position,
    # had the first tool gone there, nothing would be left to do.
    found = account(f"{HEAD}T0101\n{APPROACH}{CUT}G0 X60.\nT0404\n{HOME}T0303\n{APPROACH}{CUT}{HOME}M30", LATHE)
    # X60. over 10 mm .3. From there home X 120 mm .9, Z 2.5, in 2.3.
    # With X60. by home: X 130 mm .95, then nothing in X, Z 2.5 and 2.3. By the index position .7, Z 2., 1.8.
    assert retracts(found)[:2] == [(0, 0.3, 0.95, 0.7), (1, 5.7, 4.8, 3.8)]


def test_returns_before_the_first_tool() -> None:
    begin = "G21 G97 G99\nG54\nG28 U0.\nG28 W0.\n"
    at_home = account(f"{begin}T0101\n{APPROACH}{CUT}{HOME}M30", LATHE)
    assert operations(at_home) == [(12.0, 0.0, 5.75, 0.0, 0.0)]
    assert retracts(at_home) == [(0, 5.75, 5.75, 4.5)]

    # Where the part before ended at X60. Z-35. they are its way out: X 120 mm .9, Z 440 mm 2.5. With X60. going home
    # at once X takes .95 and then nothing; to the index position .7, and Z 2.
    at_the_part = account(f"{begin}T0101\n{APPROACH}{CUT}G0 X60.\nM30", LATHE)
    assert operations(at_the_part) == [(12.0, 0.0, 0.3 + 0.9 + 2.5 + 2.3, 0.0, 0.0)]
    assert retracts(at_the_part) == [(0, 6.0, 0.95 + 2.5 + 2.3, 0.7 + 2.0 + 1.8)]
    assert at_the_part.retracts[0].home == ((X, 2), (Z, 3))


def test_an_offset_taken_off_calls_no_tool() -> None:
    plain = account(TWO_TOOLS, LATHE)
    cancelled = account(TWO_TOOLS.replace("G53 G0 X0.", "G53 G0 X0. T0100", 1), LATHE)
    assert operations(cancelled) == operations(plain)
    assert retracts(cancelled) == retracts(plain)


def test_where_m6_turns_the_turret() -> None:
    file = LATHE.replace("[machine]", '[machine]\nstation_by = "M6"')
    program = TWO_TOOLS.replace("T0101\n", "T0101 M6\nT0303\n", 1).replace("\nT0303\nG0 X40.", "\nM6\nG0 X40.")
    found = account(program, file)
    assert operations(found) == [(24.0, 1.1, 6.05, 0.9, 0.0), (12.0, 0.0, 5.95, 0.9, 1.5)]
    assert [(each.line, each.station) for each in found.operations] == [(1, 1), (14, 3)]


def test_another_edge_of_the_tool_turns_nothing() -> None:
    # X60. .3, back X 10 mm .2 and Z 40 mm .4: .5. There is nothing to go home for.
    found = account(f"{HEAD}T0101\n{APPROACH}{CUT}G0 X60.\nT0111\n{APPROACH}{CUT}{HOME}M30", LATHE)
    assert operations(found) == [(12.0, 0.0, 0.8, 0.0, 0.0), (12.0, 0.0, 5.75, 0.0, 0.0)]
    assert retracts(found) == [(0, 0.8, 0.8, 0.8), (1, 5.75, 5.75, 4.5)]


WHILE_MOVING = LATHE.replace("index_while_moving = false", "index_while_moving = true")


def test_an_index_hides_in_the_travel_of_its_block() -> None:
    program = TWO_TOOLS.replace("T0303\nG0 X40.", "T0303 G0 X40.").replace("T0101\nG54\nG0 X40.", "G54\nT0101 G0 X40.")
    # The turret takes .9 s, the travel 2.3 s.
    assert [each[3] for each in operations(account(program, WHILE_MOVING))] == [0.0, 0.0]
    # It takes 3.4 s, of which 1.1 s are left.
    slow = WHILE_MOVING.replace("index_fixed = 0.5", "index_fixed = 3.0")
    assert [each[3] for each in operations(account(program, slow))] == [1.1, 1.1]
    # In a block of its own nothing hides it.
    assert [each[3] for each in operations(account(TWO_TOOLS, slow))] == [3.4, 3.4]
    # Not given it counts whole, which is said where it makes a difference.
    not_given = LATHE.replace("index_while_moving = false\n", "")
    told = "the turret does not turn while the slides travel (index_while_moving)"
    found = account(program, not_given)
    assert [each[3] for each in operations(found)] == [0.9, 0.9]
    assert told in found.assumed
    assert told not in account(TWO_TOOLS, not_given).assumed


def test_which_way_round_the_turret_turns() -> None:
    # From 1 to 3 it is two stations, from 3 to 1 two the one way and six the other: 1.7 s.
    one_way = account(TWO_TOOLS, LATHE.replace("both_ways = true", "both_ways = false"))
    assert [each[3] for each in operations(one_way)] == [1.7, 0.9]
    not_given = account(TWO_TOOLS, LATHE.replace("both_ways = true\n", ""))
    assert [each[3] for each in operations(not_given)] == [None, 0.9]
    assert not_given.seconds is None


def test_a_block_settles_once() -> None:
    # By way of X60.: 10 mm .2, then home, Z over 440 mm 2.4 being the longer, and .1.
    found = account(f"{HEAD}T0101\n{APPROACH}{CUT}G28 U20. W0.\nM30", LATHE)
    assert retracts(found) == [(0, 2.7 + 2.3, 2.7 + 2.3, 0.2 + 1.9 + 0.1 + 1.8)]


def test_both_axes_in_one_block() -> None:
    # Z is the longer: 440 mm 2.4. To the index position 340 mm 1.9.
    found = account(f"{HEAD}T0101\n{APPROACH}{CUT}G53 G0 X0. Z0.\nM30", LATHE)
    assert retracts(found) == [(0, 2.5 + 2.3, 2.5 + 2.3, 2.0 + 1.8)]


def test_a_retract_in_work_coordinates() -> None:
    # X300. Z405. is home by other words, so there is nothing that a return would be put in place of.
    found = account(f"{HEAD}T0101\n{APPROACH}{CUT}G0 X300.\nG0 Z405.\nM30", LATHE)
    assert retracts(found) == [(0, 5.75, 5.75, 4.5)]
    assert found.retracts[0].home == ()


def test_a_retract_that_leaves_z_where_it_is() -> None:
    # X .95, back X .85 with Z 40 mm .4 beside it; by the index position .7 and .6.
    found = account(f"{HEAD}T0101\n{APPROACH}{CUT}G53 G0 X0.\nM30", LATHE)
    assert retracts(found) == [(0, 0.95 + 0.95, 0.95 + 0.95, 0.7 + 0.7)]


def test_a_goal_that_is_given_for_one_axis() -> None:
    # Z goes home as written.
    found = account(f"{HEAD}T0101\n{APPROACH}{CUT}{HOME}M30", LATHE.replace("Z = -100.0\n", ""))
    assert retracts(found) == [(0, 5.75, 5.75, 0.7 + 2.5 + 2.3)]


def test_without_goals() -> None:
    program = f"{HEAD}T0101\n{APPROACH}{CUT}{HOME}M30"
    assert retracts(account(program, LATHE.replace(INDEX, ""))) == [(0, 5.75, 5.75, None)]
    no_home = account(program, LATHE.replace("home = 0.0\n", ""))
    assert retracts(no_home) == [(0, 5.75, None, 4.5)]
    # A return then leads to nobody knows where. To the index position both axes go at once: Z 1.9 + .1, back 1.8.
    returning = account(program.replace(HOME, "G28 U0. W0.\n"), LATHE.replace("home = 0.0\n", ""))
    assert retracts(returning) == [(0, None, None, 3.8)]
    assert ("how far X travels", 5) in [(what, at.line) for what, at in returning.unknown]


def test_without_rates_or_a_turret() -> None:
    program = f"{HEAD}T0101\n{APPROACH}{CUT}{HOME}T0303\n{APPROACH}{CUT}{HOME}M30"
    no_rate = account(program, LATHE.replace("home = 0.0\nrapid = 12000\n", "home = 0.0\n", 1))
    assert operations(no_rate) == [(12.0, 0.0, None, 0.9, 0.0), (12.0, 0.0, None, 0.9, 0.0)]
    assert [(what, at.line) for what, at in no_rate.unknown] == [("the rapid of X ([axes.X] rapid)", 5)]
    no_turret = account(program, LATHE.replace(TURRET, ""))
    assert operations(no_turret) == [(12.0, 0.0, 5.75, None, 0.0), (12.0, 0.0, 5.75, None, 0.0)]
    assert no_turret.seconds is None
    gang = account(program, LATHE.replace(TURRET, "").replace("[machine]", "[machine]\ngang = true"))
    assert [each[3] for each in operations(gang)] == [0.0, 0.0]


def test_inches_on_a_machine_in_millimetres() -> None:
    # 1 in at .01 in and 1000 rev/min: 6 s. X4. is machine mm, so home is 99.2 mm away: .696; Z-1. is machine
    # Z-430.4 mm: 2.352. In to Z0. over 405 mm: 2.225. By the index position X 49.2 mm .446, Z 330.4 mm 1.852, in Z
    # 305 mm 1.725.
    program = f"G20 G97 G99\nG54\nT0101\nG0 X4. Z0. S1000 M3\nG1 Z-1. F.01\n{HOME}M30"
    found = account(program, LATHE)
    assert found.operations[0].cut == pytest.approx(6.0)
    (retract,) = found.retracts
    assert retract.as_written == pytest.approx(0.696 + 2.352 + 2.225 + 0.3, abs=1e-5)
    assert retract.by_home == pytest.approx(retract.as_written, abs=1e-5)
    assert retract.by_index_position == pytest.approx(0.446 + 1.852 + 1.725 + 0.3, abs=1e-5)


def test_a_unit_that_is_stated_behind_the_first_moves() -> None:
    # Home is at machine X-10. Z-10. in millimetres, wherever the returns stand.
    file = LATHE.replace("home = 0.0", "home = -10.0")
    program = "G54\nT0101\nG0 X4. Z0. S1000 M3\nG1 Z-1. F.01\nG0 X5.\nM30"
    before = account(f"G28 U0. W0.\nG20 G97 G99\n{program}", file)
    behind = account(f"G20 G97 G99\nG28 U0. W0.\n{program}", file)
    # X5. is machine X-173 mm, so home is 81.5 mm away; Z-430.4 mm is 420.4 mm from it: 2.302 s. In: 395 mm, 2.175 s.
    # X from 4. to 5. are 12.7 mm: .225389 s.
    expected = pytest.approx(2.302 + 2.175 + 0.225389 + 0.3, abs=1e-5)
    assert [each.as_written for each in behind.retracts] == [expected]
    assert [each.as_written for each in before.retracts] == [expected]
    assert before.retracts[0].by_index_position == pytest.approx(behind.retracts[0].by_index_position, abs=1e-5)
    # An F in the one unit says nothing in the other.
    late = account(f"{HEAD}T0101\n{APPROACH}{CUT}G20\nG1 Z-2.\nM30", LATHE)
    assert operations(late)[0][0] is None


def test_subprograms_and_loops() -> None:
    tools = TWO_TOOLS.removesuffix("M30\n")
    once = operations(account(TWO_TOOLS, LATHE))
    called = account(f"O1\nM98 P2 L2\nM30\nO2\n{tools}M99", LATHE)
    assert operations(called) == once * 2
    looped = account(f"#1=0\nWHILE[#1LT3]DO1\n{tools}#1=#1+1\nEND1\nM30", LATHE)
    assert operations(looped) == once * 3
    assert looped.seconds == pytest.approx(3 * 52.4)


def test_a_program_that_cuts_nothing() -> None:
    # In 2.3, X 130 mm .95, Z 400 mm 2.3: all of it is on the way somewhere.
    found = account(f"{HEAD}T0101\n{APPROACH}{HOME}M30", LATHE)
    assert operations(found) == [(0.0, 5.55, 0.0, 0.0, 0.0)]
    assert found.retracts == ()


def test_programs_that_call_no_tool() -> None:
    # to X0. is 100 mm of the slide: .8, and back from where the program ends.
    found = account("G53 G0 X0.\nG53 G0 X-200.\nM30", LATHE)
    assert operations(found) == [(0.0, 1.6, 0.0, 0.0, 0.0)]
    assert [(each.line, each.station, each.tool) for each in found.operations] == [(0, None, None)]

    # With a cut, whose offset nobody knows: the way in starts in another frame than it ends in.
    cutting = account(f"{HEAD}{APPROACH}{CUT}{HOME}M30", LATHE)
    assert operations(cutting) == [(12.0, 0.0, None, 0.0, 0.0)]
    assert cutting.seconds is None

    waiting = account("G4 P500\nG4 X2.\nM30", LATHE)
    assert operations(waiting) == [(0.0, 0.0, 0.0, 0.0, 2.5)]
    assert account("M8\nM30", LATHE).seconds == 0.0


def test_a_program_that_works_before_it_calls_a_tool() -> None:
    # The turret stands at the last station of the part before, so the first index is from 3 to 1.
    found = account(f"G4 X1.\n{TWO_TOOLS}", LATHE)
    assert operations(found) == [
        (0.0, 0.0, 0.0, 0.0, 1.0),
        (24.0, 1.1, 6.05, 0.9, 0.0),
        (12.0, 0.0, 5.95, 0.9, 1.5),
    ]


def test_a_run_that_breaks_off() -> None:
    found = account(TWO_TOOLS.replace("G4 X1.5", "IF[#500GT2]GOTO 9"), LATHE)
    assert operations(found) == [(24.0, 1.1, 6.05, None, 0.0), (None, None, None, 0.9, None)]
    assert found.seconds is None
    assert found.retracts_in_all() == (None, None, None)
    # Behind the call of the second tool its way in, and so the first one's retract, is not known either.
    early = account(TWO_TOOLS.replace("T0303\n", "T0303\nIF[#500GT2]GOTO 9\n"), LATHE)
    assert operations(early) == [(24.0, 1.1, None, None, 0.0), (None, None, None, 0.9, None)]


def test_what_stands_in_another_file_is_told_with_it() -> None:
    costing = Costing("T0101\nG54\nM98 P7\nM30", LATHE, {7: "G1 Z5. F.1\nM99"})
    found = costing.account()
    assert [(at.path, at.line, what) for what, at in found.unknown] == [("O0007.nc", 0, "how far Z travels")]


# The demo programs


def test_a_part_is_the_sum_of_its_operations() -> None:
    known = 0
    for path, setup in demo():
        found = account(path.read_text(encoding="utf-8"), setup, library_of=path)
        assert found.ended is not None
        parts = [part for one in operations(found) for part in one]
        if None in parts or found.ended.why not in COMPLETE:
            assert found.seconds is None, path
        else:
            known += 1
            assert found.seconds == pytest.approx(sum(part for part in parts if part is not None), abs=1e-3), path
        for number, one in enumerate(found.operations):
            own = [each for each in found.retracts if each.operation == number]
            assert one.retract == total(each.as_written for each in own), path
            assert one.by_index_position == total(each.by_index_position for each in own), path
        if found.seconds is not None:
            assert found.retracts_in_all()[0] == pytest.approx(sum(one.retract or 0.0 for one in found.operations))
    assert known > 10


def test_going_back_to_a_mark_is_as_if_nothing_had_been_between() -> None:
    for path, setup in demo():
        costing = Costing(path.read_text(encoding="utf-8"), setup, library_of=path)
        events = costing.events()
        fresh = costing.account()
        for at in range(0, len(events), 9):
            accountant = Accountant(costing.setup, costing.dialect)
            for event in events[:at]:
                accountant.take(event)
            mark = accountant.mark()
            # What comes is another program's: the blocks from the middle on, and an end.
            for event in [*events[len(events) // 2 :], events[-1]]:
                if not (isinstance(event, Ended) and event is not events[-1]):
                    accountant.take(event)
            for _ in range(2):
                accountant.go_back(mark)
                for event in events[at:]:
                    accountant.take(event)
                assert accountant.account() == fresh, (path, at)


def test_a_tool_that_is_called_without_its_offset_first_is_one_operation() -> None:
    # T0200 turns the turret, T0202 takes the offset on the way in. Behind its work T0200 takes it off again.
    found = account(
        """
        G21 G40 G99 G97
        T0100
        G0 X40. Z2. T0101
        S1000 M3
        G1 Z-20. F.2
        G0 X200. Z150. T0100
        T0200
        G0 X0. Z5. T0202
        G1 Z-10. F.1
        G0 X200. Z150. T0200
        M30
        """,
        LATHE,
    )
    assert [(each.line + 1, each.station, each.tool) for each in found.operations] == [(2, 1, 1), (7, 2, 2)]


def test_an_axis_begins_where_the_part_before_has_left_it() -> None:
    # C turns 100 degrees at 200 degrees/s, 1000 degrees/s^2: .7 s, and settles. First from where the program leaves it,
    # C100., to C0. between two cuts, then back: twice .8 s.
    spindle = LATHE + "[axes.C]\nrapid = 12000\nacceleration = 1000\n"
    file = spindle.replace("[work_offsets.G54]\n", "[work_offsets.G54]\nC = 0.0\n")
    program = """
        G21 G40 G99 G97
        T0101
        G54 S1000 M3
        G0 X40. Z2.
        G1 Z-20. F.2
        G0 C0.
        G1 Z-30.
        G0 C100.
        G1 Z-40.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """
    assert operations(account(program, file))[0][1] == pytest.approx(1.6)
    # Without the offset of C it is not known where C0. is, and so how far it lies from C as the program finds it.
    assert operations(account(program, spindle))[0][1] is None
    # A run that stops does not tell where C would have been left.
    assert operations(account(program.replace("M30", "GOTO#500"), file))[0][1] is None
