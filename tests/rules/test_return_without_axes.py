"""Reference returns that name no axis: by control all axes go, none does, or it is an alarm."""

from __future__ import annotations

from fixtures import check


def test_bare_returns() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G28
        ^^^ warning return-without-axes: G28 names no axis
        N90 G30 (ALL) P2 M9
            ^^^ warning return-without-axes: G30 names no axis
        M30
        """)


def test_every_position_is_unknown_afterwards() -> None:
    # Had the axes stayed, X60 would be outward; had they gone home, inward. Nobody knows.
    check("""
        T0101
        G0 X52. Z2.
        G28
        ^^^ warning return-without-axes
        G28 X60.
            ^^^^ error return-by-work-point: Not known:
        M30
        """)


def test_any_named_axis_is_enough() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G28 U0.
        G28 C0.
        G28 H0.
        G28 B0.
        M30
        """)


def test_an_axis_behind_a_block_delete() -> None:
    # With the switch on nothing is left but the bare code.
    check("""
        T0101
        G0 X52. Z2.
        G28 /U0.
        ^^^ warning return-without-axes: With block-delete switch 1 on: G28 names no axis
        M30
        """)


def test_under_g91() -> None:
    check(
        """
        G91 G28
            ^^^ warning return-without-axes
        G91 G28 Z0.
        M30
        """,
        "B",
    )
