"""Arcs without a centre and a radius. That controls differ: common practice, no source."""

from __future__ import annotations

from fixtures import check


def test_a_forgotten_feed_move() -> None:
    check("""
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-20. R10.
        X46.
        ^^^^ warning arc-without-centre: neither a radius nor a centre. G2 is still on from a block above.
        G3 X50. Z-30. F.1
           ^^^^^^^^^^ warning arc-without-centre: Moves on an arc (G3) that has neither a radius nor a centre. Some
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_arcs_that_have_one_and_blocks_that_move_nothing() -> None:
    # A variable that is not known may hold a radius. One that is empty is as if R were not there.
    check(
        """
        G21 G99
        T0101
        G54
        G0 X20. Z2.
        G1 Z-10. F.2
        G2 X40. Z-20. R10.
        X60. Z-30. I10.
        G2 R#500 X50.
        G2 Z-30. X70. R#1
           ^^^^^^^^^^ warning arc-without-centre
        G2
        G2 F.1
        G3 X70. Z-30.
        G0 X80.
        M30
        """,
        only="arc-without-centre",
    )


def test_where_the_move_may_be_no_arc() -> None:
    # Behind GOTO#500 any block may follow any other, and with it any motion code.
    check(
        """
        G21 G99
        T0101
        G54
        GOTO#500
        N10 G2 X40. Z-20. R10.
        N20 X46.
        N30 G1 X50.
        M30
        """,
        only="arc-without-centre",
    )
