"""What can be asked of a setup, and what is answered where little or nothing is known."""

from __future__ import annotations

import subprocess
import sys

from waywright.setup.model import Axis, Machine, Setup, Tool, Turret


def test_nothing_known() -> None:
    setup = Setup()

    assert (setup.code_system, setup.code_system_given) == ("A", False)
    assert setup == Setup("A", False)
    assert setup.travel("X") is None
    assert setup.home("X") is None
    assert setup.reference("X", 1) is None
    assert setup.reference("X", 2) is None
    assert setup.index_position("X") is None
    assert setup.work_offset("G54", "X") is None
    assert setup.tool(1, 1) is None
    assert setup.tool_kind(1, 1) is None
    assert setup.nose_radius(1, 1) is None
    assert setup.tool_offset(1, "X") is None
    assert setup.is_angle("B") is None
    assert setup.unit(None) is None
    assert setup.x_is_diameter() is True
    assert setup.is_gang() is False
    assert (setup.turret, setup.max_speed, setup.parts) == (Turret(), None, None)


def test_assumptions_are_told() -> None:
    setup = Setup(
        machine=Machine(common_shift={"Z": 5}),
        tools=(Tool(1, 1, {"X": 10, "Z": 20}, {"Z": 3}), Tool(2, 2, {"X": 10}, {"X": None})),
    )
    assert (setup.common_shift("X"), setup.common_shift_assumed("X")) == (0, True)
    assert (setup.common_shift("Z"), setup.common_shift_assumed("Z")) == (5, False)
    assert (setup.tool_offset(1, "X"), setup.wear_assumed(1, "X")) == (10, True)
    assert (setup.tool_offset(1, "Z"), setup.wear_assumed(1, "Z")) == (23, False)
    assert (setup.tool_offset(2, "X"), setup.wear_assumed(2, "X")) == (None, False)
    # Offset 0 is none at all: nothing is assumed of it.
    assert (setup.tool_offset(0, "X"), setup.wear_assumed(0, "X")) == (0, False)


def test_what_is_assumed_for_times_is_told() -> None:
    setup = Setup()
    assert (setup.rapid_path(), setup.rapid_path_assumed()) == ("dogleg", True)
    assert (setup.settle(), setup.settle_assumed()) == (0, True)
    assert (setup.index_while_moving(), setup.index_while_moving_assumed()) == (False, True)
    # It concerns no reading of a program.
    assert setup.assumed == ("code system A", "X words are diameters")

    given = Setup(
        machine=Machine(rapid_path="dogleg", settle=0),
        turret=Turret(index_while_moving=False),
    )
    assert (given.rapid_path(), given.rapid_path_assumed()) == ("dogleg", False)
    assert (given.settle(), given.settle_assumed()) == (0, False)
    assert (given.index_while_moving(), given.index_while_moving_assumed()) == (False, False)


def test_rates_in_the_unit_of_the_program() -> None:
    # An inch is 25.4 mm; the rate of an axis that turns is an angle.
    setup = Setup(
        machine=Machine(unit="mm"),
        axes={"X": Axis(rapid=25_400_000_000), "C": Axis(rapid=36_000_000_000)},
    )
    assert setup.in_program(setup.axes["X"].rapid, "X", "inch") == 1_000_000_000
    assert setup.in_program(setup.axes["X"].rapid, "X", None) == 25_400_000_000
    assert setup.in_program(setup.axes["C"].rapid, "C", "inch") == 36_000_000_000


def test_an_offset_is_one_register_whatever_the_station() -> None:
    setup = Setup(
        tools=(
            Tool(1, 5, {"X": 10, "Z": 1}),
            Tool(2, 5, {"X": 10, "Z": 2}, {"X": 4}),
            Tool(None, 6, {"X": 7}),
            Tool(3, 7, {"X": 1}, {"X": 1}),
            Tool(4, 7, {}, {"X": 2}),
        )
    )
    assert setup.tool_offset(5, "X") == 14
    assert setup.tool_offset(5, "Z") is None
    assert setup.tool_offset(6, "X") == 7
    assert setup.tool_offset(7, "X") is None


def test_tools_by_station_and_offset() -> None:
    setup = Setup(
        tools=(
            Tool(1, None, kind="bar stop"),
            Tool(1, 1, kind="turning", nose_radius=4),
            Tool(2, 2, kind="drill"),
        )
    )
    assert (setup.tool_kind(1, 1), setup.nose_radius(1, 1)) == ("turning", 4)
    # What is said of the station is said of every offset that has no entry of its own.
    assert (setup.tool_kind(1, 11), setup.nose_radius(1, 11)) == ("bar stop", None)
    assert setup.tool_kind(1, None) == "bar stop"
    # A second edge that is not listed need not be of the same kind.
    assert setup.tool_kind(2, 12) is None
    assert setup.tool_kind(2, None) is None


def test_letters_of_increments() -> None:
    assert Setup().increments() == {"U": "X", "V": "Y", "W": "Z", "H": "C"}
    assert Setup(code_system="B").increments() == {}
    # W travels the second spindle, and so is no distance in Z.
    assert Setup(axes={"W": Axis(carries="second spindle")}).increments() == {"U": "X", "V": "Y", "H": "C"}
    # An axis whose letter is given has that one alone.
    assert Setup(axes={"B": Axis(incremental="V"), "Z": Axis(incremental="E")}).increments() == {
        "V": "B",
        "E": "Z",
        "U": "X",
        "H": "C",
    }
    assert Setup(code_system="C", axes={"X": Axis(incremental="U")}).increments() == {"U": "X"}


def test_axes_that_turn() -> None:
    setup = Setup(axes={"C": Axis(carries="second spindle"), "B": Axis(carries="spindle angle"), "Z": Axis()})
    assert [setup.is_angle(axis) for axis in "XYZCBA"] == [False, False, False, False, True, None]


def test_the_model_is_cheap_to_import() -> None:
    # The server starts before any machine file is read.
    code = "import sys, waywright.setup.model; print([name for name in ('tomllib', 'difflib') if name in sys.modules])"
    outcome = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True)
    assert outcome.stdout.strip() == "[]"


def test_a_file_that_lists_x_and_z_lists_all_axes() -> None:
    setup = Setup(axes={"X": Axis(), "Z": Axis(), "C": Axis()})
    assert [setup.has_axis(letter) for letter in "XZCY"] == [True, True, True, False]
    assert Setup(axes={"X": Axis()}).has_axis("X") is None
    assert Setup().has_axis("Y") is None
