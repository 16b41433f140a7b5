"""Increments beside G53: by control ignored, or an alarm. Common practice, no source."""

from __future__ import annotations

from fixtures import check


def test_u_beside_g53() -> None:
    # Some controls ignore U0. and leave the tool at diameter 52, in the groove; others stop there.
    check("""
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 U0.
               ^^^ error increment-in-machine-frame: U beside G53 counts from here
        M30
        """)


def test_mixed_with_an_absolute_word() -> None:
    check("""
        T0101
        G0 X52. Z2.
        N5 G53 G0 X-130. (X FIRST) W5.
                                   ^^^ error increment-in-machine-frame: W beside G53
        M30
        """)


def test_several_increments_are_one_finding() -> None:
    check("""
        G0 X52. Z2.
        G53 G0 U0. V0. W0.
               ^^^^^^^^^^^ error increment-in-machine-frame: U, V and W beside G53
        M30
        """)


def test_absolute_words_are_silent() -> None:
    check("""
        G0 X52. Z2.
        G53 G0 X-130. Y0. Z-255. C0.
        G53 G0 B-400.
        M30
        """)


def test_where_the_axis_stands_afterwards_is_unknown() -> None:
    check("""
        G54
        G0 X52. Z2.
        G53 G0 U0.
               ^^^ error increment-in-machine-frame
        G28 X60. Z3.
            ^^^^^^^^ error return-by-work-point: where the tool is in X
        M30
        """)


def test_under_g91() -> None:
    check(
        """
        G90
        G0 X52. Z2.
        G91 G53 G0 X-130.
                   ^^^^^^ error increment-in-machine-frame
        G90 G53 G0 X-130.
        M30
        """,
        "B",
    )


def test_under_g91_on_one_way_of_the_switch() -> None:
    check(
        """
        G90
        G0 X52. Z2.
        /2 G91
        G53 G0 X-130.
               ^^^^^^ warning frame-depends-on-path
               ^^^^^^ error increment-in-machine-frame: With block-delete switch 2 off
        G90
        M30
        """,
        "C",
    )


def test_u_is_an_axis_of_its_own_in_system_b() -> None:
    check(
        """
        G90 G0 X52. Z2.
        G53 G0 U-5.
        M30
        """,
        "B",
    )
