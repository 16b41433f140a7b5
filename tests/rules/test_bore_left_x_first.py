"""Bores and holes that are left sideways.

That the way out of a bore is the way in, reversed: common practice, no source. The numbers of the machine are made up.
With the full file and T0404 the work frame's zero lies at machine X -480 + 62.4 = -417.6 and Z -412.5 + 122.5 = -290,
with T0202 at X -480 + 84 = -396 and Z -412.5 + 158.5 = -254.
"""

from __future__ import annotations

import pytest
from fixtures import check, setup_of

from waywright.codes.model import System

FULL = """
    [machine]
    code_system = "A"
    unit = "mm"
    x_words = "diameter"
    plain_numbers = "unit"
    common_shift = { X = 0.0, Z = 0.0 }

    [axes.X]
    travel = [-440.0, 0.5]
    home = 0.0
    references = { 2 = -130.0 }

    [axes.Z]
    travel = [-520.0, 0.5]
    home = 0.0
    references = { 2 = -120.0 }

    [work_offsets.G54]
    X = -480.0
    Z = -412.5

    [[tools]]
    station = 2
    offset = 2
    X = 84.0
    Z = 158.5
    wear_X = 0.0
    wear_Z = 0.0
    kind = "drill"

    [[tools]]
    station = 4
    offset = 4
    X = 62.4
    Z = 122.5
    wear_X = 0.0
    wear_Z = 0.0
    kind = "boring"

    [[tools]]
    station = 9
    offset = 9
    kind = "internal grooving"
    """
KINDS = """
    [machine]
    unit = "mm"

    [[tools]]
    station = 2
    kind = "drill"

    [[tools]]
    station = 4
    kind = "boring"

    [[tools]]
    station = 6
    kind = "driven axial"

    [[tools]]
    station = 9
    kind = "internal grooving"

    [[tools]]
    station = 12
    kind = "bar stop"
    """


def without_marks(program: str) -> str:
    return "\n".join(line for line in program.split("\n") if "^" not in line)


@pytest.mark.parametrize("file", ["", KINDS, FULL])
def test_a_drill_in_its_hole(file: str) -> None:
    # The drill feeds on the centreline from Z5 to Z-30 and stands there when X leaves for machine X-130.
    check(
        """
        G21
        T0202
        G54
        G97 S900 M3
        G0 X0. Z5.
        G1 Z-30. F.2
        G53 G0 X-130.
               ^^^^^^ error bore-left-x-first: at work X0. Z-30. it is still inside; what it cut reaches from Z5. to
        G53 G0 Z-120.
        M30
        """,
        setup=setup_of(file) if file else None,
    )


@pytest.mark.parametrize("file", ["", KINDS, FULL])
def test_a_drill_that_comes_out_first_is_right(file: str) -> None:
    # Out to Z5, or to Z2 only, which is in front of the face as well; or Z goes out by G53.
    for out in ("G0 Z5.", "G0 Z2.", "G0 Z0.", "G53 G0 Z-120."):
        check(
            f"""
            G21
            T0202
            G54
            G0 X0. Z5.
            G1 Z-30. F.2
            {out}
            G53 G0 X-130.
            G53 G0 Z-120.
            M30
            """,
            setup=setup_of(file) if file else None,
        )


def test_half_out_is_not_out() -> None:
    check("""
        G21
        T0202
        G54
        G0 X0. Z5.
        G1 Z-30. F.2
        G0 Z-.5
        G28 U0.
            ^^^ error bore-left-x-first: it cut along Z on the centreline
        G28 W0.
        M30
        """)


def test_every_way_of_leaving_by_x() -> None:
    for leaves, start in (("G28 U0.", 4), ("G30 U0.", 4), ("G0 X60.", 3), ("G0 U60.", 3), ("G53 G0 X0.", 7)):
        check(
            f"""
            G21
            T0202
            G54
            G0 X0. Z5.
            G1 Z-30. F.2
            {leaves}
            {" " * start}{"^" * (len(leaves) - start)} error bore-left-x-first: X drives it sideways into the wall
            M30
            """
        )
    # With a point of the part on the way it is that rule's finding as well.
    check("""
        G21
        T0202
        G54
        G0 X0. Z5.
        G1 Z-30. F.2
        G28 X60.
            ^^^^ error bore-left-x-first
            ^^^^ information return-by-work-point
        M30
        """)


def test_by_cycles() -> None:
    # A cycle comes back to its start point, Z5, in front of the hole.
    check("""
        G21
        T0202
        G54
        G0 X0. Z5.
        G74 R1.
        G74 Z-72. Q8000 F.2
        G28 U0.
        G28 W0.
        T0303
        G0 X0. Z5.
        G83 Z-38. R2. Q8000 F.18
        G80
        G28 U0.
        M30
        """)


BORE = """
    G21
    T0404
    G54
    G0 X21. Z5.
    G0 Z2.
    G1 Z-30. F.14
    G0 X20.
    G0 Z2.
    G0 X25.2
    G1 Z-12.
    G1 X22.6
    G53 G0 X-130.
           ^^^^^^ error bore-left-x-first: (kind in the machine file: boring) and at work X22.6 Z-12. it is still inside
    G53 G0 Z-120.
    M30
    """


@pytest.mark.parametrize("file", [KINDS, FULL])
def test_a_boring_bar(file: str) -> None:
    # X21 to Z-30, out, X25.2 to Z-12, shoulder in to X22.6: there the bar stands in a bore of 25.2.
    check(BORE, setup=setup_of(file))


def test_without_a_file_a_bore_looks_like_turning() -> None:
    check(without_marks(BORE))


def test_clearing_the_wall_is_right() -> None:
    # X in towards the centre by rapid, or by G53 where offsets are known (machine is work X18); Z out; X out.
    for clears in ("G0 X18.", "G0 U-2.", "G53 G0 X-399.6"):
        check(
            f"""
            G21
            T0404
            G54
            G0 X25.2 Z2.
            G1 Z-30. F.14
            {clears}
            G0 Z5.
            G53 G0 X-130.
            G53 G0 Z-120.
            M30
            """,
            setup=setup_of(FULL),
        )


def test_within_what_was_cut_is_right_and_beyond_is_not() -> None:
    # The bore is 30 wide at its mouth and 25.2 further in. X30 is as wide as anything cut; X30.1 is not.
    program = """
        G21
        T0404
        G54
        G0 X30. Z2.
        G1 Z-5. F.14
        G1 X25.2
        G1 Z-12.
        G1 X22.6
        G0 {x}
        G0 Z5.
        G53 G0 Z0.
        M30
        """
    check(program.format(x="X30."), setup=setup_of(KINDS))
    mark = "   ^^^^^ error bore-left-x-first: Moves X and leaves Z where it is."
    check(program.replace("G0 {x}\n", f"G0 X30.1\n        {mark}\n"), setup=setup_of(KINDS))


def test_an_internal_groove() -> None:
    # In rapid to Z-10, feed to Z-15.5, plunge to 42.6, back to X37, and out: in one feed, or X first from in there.
    head = """
        G21
        T0909
        G54
        G0 X37. Z5.
        G0 Z-10.
        G1 Z-15.5 F.3
        G1 X42.6 F.06
        G1 X37. F.4
        """
    check(f"{head}G1 Z3. F.5\n        G53 G0 Z-120.\n        G53 G0 X-130.\n        M30\n", setup=setup_of(KINDS))
    check(f"{head}G0 Z3.\n        G53 G0 X-130.\n        M30\n", setup=setup_of(KINDS))
    check(
        f"{head}G53 G0 X-130.\n               ^^^^^^ error bore-left-x-first: internal grooving\n        M30\n",
        setup=setup_of(KINDS),
    )


def test_an_internal_groove_that_was_reached_in_rapid() -> None:
    # In rapid to X37 Z-15, plunge to X42.6 and back: where it cut there it stands, and the wall of the bore is outward.
    head = """
        G21
        T0909
        G54
        G0 X37. Z5.
        Z-15.
        """
    plunge = "G1 X42.6 F.06\n        X37.\n        "
    cycle = "G75 R.5\n        G75 X42.6 Z-18. P500 Q2000 F.06\n        "
    wide = f"{plunge}G0 Z-18.\n        {plunge}G1 Z-15.\n        "
    for cut in (plunge, f"{plunge}G0 X36.\n        ", cycle, wide):
        check(f"{head}{cut}G0 Z5.\n        G28 U0.\n        G28 W0.\n        M30\n", setup=setup_of(KINDS))
        check(f"{head}{cut}G53 G0 Z-120.\n        G53 G0 X-130.\n        M30\n", setup=setup_of(KINDS))
        mark = "       ^^^ error bore-left-x-first: (kind in the machine file: internal grooving) and at work X3"
        check(f"{head}{cut}G28 U0.\n     {mark}\n        G28 W0.\n        M30\n", setup=setup_of(KINDS))
    check(
        f"{head}{plunge}G0 X60.\n           ^^^^ error bore-left-x-first: it cut at Z-15. X drives\n"
        "        G28 W0.\n        M30\n",
        setup=setup_of(KINDS),
    )
    # Fed in all the way from the front, and out in front again.
    check(
        f"{head.replace('Z-15.', 'G1 Z-15. F1.')}{plunge}G0 Z5.\n        G28 U0.\n        M30\n", setup=setup_of(KINDS)
    )


def test_inside_by_a_cycle_with_stock_below_zero() -> None:
    # G71 with U-.4 bores, and ends at its start point X21 Z2; then G1 goes in once more.
    check("""
        G21
        T0404
        G54
        G0 X21. Z2.
        G71 U1.5 R.3
        G71 P10 Q20 U-.4 W.1 F.18
        N10 G0 X34.85
        G1 Z-30.
        N20 X21.
        G53 G0 X-130.
        G53 G0 Z-120.
        T0505
        G0 X21. Z2.
        G71 U1.5 R.3
        G71 P30 Q40 U-.4 W.1 F.18
        N30 G0 X34.85
        G1 Z-30.
        N40 X21.
        G1 Z-30. F.1
        G28 U0.
            ^^^ error bore-left-x-first: its cycle cut from the inside outward
        M30
        """)


def test_outside_turning_leaves_x_first() -> None:
    check("""
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G53 G0 Z-120.
        M30
        """)


def test_facing_to_the_centre_and_a_ball_nose_leave_x_first() -> None:
    # Facing to X0 at Z0; then a ball nose from the centre outward to Z-5: both are turning.
    check("""
        G21
        T0101
        G54
        G0 X54. Z0.
        G1 X0. F.2
        G1 Z1.
        G0 X54.
        G0 X0.
        G1 Z0.
        G3 X10. Z-5. R5.
        G1 Z-20.
        G28 U0.
        G28 W0.
        M30
        """)


def test_a_bar_stop_is_right() -> None:
    # The bar runs against the stop at Z.5, in front of the face, and the stop leaves sideways.
    program = """
        G21
        T1212
        G54
        G0 X0. Z20.
        G98 G1 Z.5 F2000.
        M69
        G4 X1.5
        M68
        G0 X200.
        M30
        """
    check(program)
    check(program, setup=setup_of(KINDS))
    check(
        """
        G20
        T1212
        G54
        G0 X0. Z.8
        G98 G1 Z.02 F80.
        G0 X8.
        M30
        """
    )


def test_a_driven_drill_and_an_end_mill() -> None:
    # The drill goes in at X40 and leaves sideways. The end mill comes across the face from X70 and is out again there.
    check(
        """
        G21 G98
        T0606
        G54
        G0 X40. Z5.
        G1 Z-12. F100.
        G0 X80.
           ^^^^ error bore-left-x-first: driven axial
        M30
        """,
        setup=setup_of(KINDS),
    )
    check(
        """
        G21 G98
        T0606
        G54
        G0 X70. Z5.
        G0 Z-4.
        G1 X-70. F100.
        G0 X-80.
        G53 G0 X0.
        M30
        """,
        setup=setup_of(KINDS),
    )


def test_on_a_second_spindle() -> None:
    # There -Z leads away from the part: in from Z-1 to Z12, and out to Z-5 first.
    head = """
        G21
        T0404
        G55
        G0 X17.4 Z-5.
        G0 Z-1.
        G1 Z12. F.1
        """
    check(f"{head}G0 Z-5.\n        G53 G0 X-120.\n        M30\n", setup=setup_of(KINDS))
    mark = "       ^^^^^^ error bore-left-x-first: reaches from Z-1. to Z12. in depth"
    check(f"{head}G53 G0 X-120.\n        {mark}\n        M30\n", setup=setup_of(KINDS))


def test_in_inch() -> None:
    check("""
        N1G20
        N2T0404
        N3G54
        N4G0X0.Z.2
        N5G1Z-1.25F.006
        N6G53G0X-5.
               ^^^^ error bore-left-x-first: at work X0. Z-1.25 it is still inside; what it cut reaches from Z0.2 to
        N7M30
        """)


def test_where_the_tool_stands_is_not_known() -> None:
    # Nobody says where the drill was along Z when it began, nor where a variable took it.
    check("""
        G21
        T0202
        G54
        G0 X0.
        G1 Z#511 F.2
        G53 G0 X-130.
        M30
        """)


def test_what_is_assumed_is_said() -> None:
    program = """
        G21
        T0202
        G54
        G0 X0. Z5.
        G1 Z-30. F.2
        G53 G0 X-130.
               ^^^^^^ error bore-left-x-first: Z first. {assumed}Stock and chuck are not described.
        M30
        """
    check(program.format(assumed="Assumed: X goes outward there, its offset is not known. "), setup=setup_of(KINDS))
    check(program.format(assumed=""), setup=setup_of(FULL))


def test_both_ways_of_a_switch() -> None:
    # With the switch on the drill is still in its hole.
    check("""
        G21
        T0202
        G54
        G0 X0. Z5.
        G1 Z-30. F.2
        /G0 Z5.
        G28 U0.
            ^^^ error bore-left-x-first: With block-delete switch 1 on: Moves X
        M30
        """)


@pytest.mark.parametrize(("system", "metric"), [("B", "G21"), ("C", "G71")])
def test_systems_b_and_c(system: System, metric: str) -> None:
    # N1 goes straight home in X from Z-30. In the second operation Z goes first.
    check(
        f"""
        {metric} G90
        T0202
        G54
        G0 X0. Z5.
        G1 Z-30. F.2
        G91 G28 X0.
                ^^^ error bore-left-x-first
        G28 Z0.
        G90
        T0404
        G0 X0. Z5.
        G1 Z-30. F.2
        G91 G28 Z0.
        G28 X0.
        G90
        M30
        """,
        system,
    )


def test_boring_sideways_by_feed_is_cutting() -> None:
    check(
        """
        G21
        T0404
        G54
        G0 X21. Z2.
        G1 Z-12. F.14
        G1 X40.
        G1 X21.
        G0 Z5.
        G28 U0.
        M30
        """,
        setup=setup_of(KINDS),
    )


def test_a_boring_bar_that_faces_and_feeds_out_is_right() -> None:
    check(
        """
        G21
        T0404
        G54
        G0 X20. Z0.
        G1 X60. F.1
        G1 Z1.
        G0 X70.
        G53 G0 X0.
        M30
        """,
        setup=setup_of(KINDS),
    )


def test_a_bar_puller_is_right() -> None:
    # In by feed to Z-8, and out with the bar to Z40: further than where it began, as a tool on a second spindle would.
    for out in ("G0 Z60.", "G0 Z30."):
        check(
            f"""
            G21 G98
            T1212
            G54
            G0 X0. Z10.
            G1 Z-8. F500
            M69
            G1 Z40. F1000
            M68
            {out}
            G28 U0.
            G28 W0.
            M99
            """
        )


def test_behind_a_z_that_lost_its_g53() -> None:
    # The drill's way out was Z first. It lost its G53 and goes to work Z-120., deep in the part: that is told there,
    # and that X then leaves from inside follows from it. Without the slip X leaves last.
    program = """
        G21
        T0202
        G54
        G0 X0. Z5.
        G1 Z-30. F.2
        {z}
        {mark}
        G53 G0 X-130.
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G53 G0 Z-120.
        M30
        """
    check(program.format(z="G0 Z-120.", mark="   ^^^^^^ error lost-machine-frame"))
    check(program.format(z="G53 G0 Z-120.", mark="(OUT)"))
    # A hole that is as deep as the machine coordinate, left X first: that is no lost G53 of the way out.
    check(
        """
        G21
        T0202
        G54
        G0 X0. Z5.
        G1 Z-120. F.2
           ^^^^^^ warning lost-machine-frame
        G53 G0 X-130.
               ^^^^^^ error bore-left-x-first
        G53 G0 Z-120.
        M30
        """
    )
