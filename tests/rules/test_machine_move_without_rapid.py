"""G53 moves that leave open how they travel. By control: rapid, feed or alarm. Common practice, no source."""

from __future__ import annotations

import pytest
from fixtures import check, setup_of


def test_after_a_feed_move() -> None:
    # G1 at .2 mm a turn is active: on most lathes a rapid to machine X-130, on a few a feed of several minutes.
    check("""
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 X-130.
        ^^^ warning machine-move-without-rapid: G53 without G0 while G1 is active
        M30
        """)


def test_rapid_in_the_block() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G0 G53 Z-200.
        G00 G53 Z-200.
        M30
        """)


def test_rapid_active() -> None:
    check("""
        T0101
        G0 X52. Z2.
        G53 X-130.
        G53 Z-255.
        M30
        """)


def test_g53_does_not_change_the_active_motion() -> None:
    # The G0 of the first G53 block stays active, so the second is a rapid too; then G1 is active again.
    check("""
        T0101
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G0 X-130.
        G53 Z-255.
        G1 X60. F.2
        G53 Z-255.
        ^^^ warning machine-move-without-rapid: while G1 is active
        M30
        """)


def test_feed_in_the_block() -> None:
    check("""
        T0101
        G0 X52. Z2.
        N7 G53 G1 X-130. F.2
           ^^^^^^ error machine-move-without-rapid: G53 beside G1
        N8 G3 (ARC) G53 X-130.
           ^^^^^^^^^^^^ error machine-move-without-rapid: G53 beside G3
        M30
        """)


def test_motion_not_stated() -> None:
    check("""
        T0101
        G53 X-130.
        ^^^ warning machine-move-without-rapid: it is not known which motion code is active
        M30
        """)


def test_rapid_on_one_way_only() -> None:
    check("""
        T0101
        G0 X52. Z2.
        /G1 Z-30. F.2
        G53 X-130.
        ^^^ warning machine-move-without-rapid: With block-delete switch 1 off: G53 without G0 while G1 is active
        M30
        """)


def test_motion_unknown_after_a_call() -> None:
    check("""
        T0101
        G0 X52. Z2.
        M98 P1200
        G53 X-130.
        ^^^ warning machine-move-without-rapid: it is not known which motion code is active
        M30
        """)


def test_motion_hidden_by_a_drilling_cycle() -> None:
    # G1 was active before the cycle; G83 is still on.
    check("""
        T0202
        G0 X0. Z5.
        G83 Z-40. R2. F.1
        G53 X-130.
        ^^^ warning machine-move-without-rapid
        G80
        G53 G0 X-130.
        M30
        """)


def test_without_axis_words_nothing_moves() -> None:
    check("""
        G1 X50. F.2
        G53
        G53 M5
        M30
        """)


def test_in_code_systems_b_and_c() -> None:
    for system in ("B", "C"):
        check(
            """
            G90 G1 X50. F.2
            G53 X-130.
            ^^^ warning machine-move-without-rapid
            G0 G53 X-130.
            M30
            """,
            system,
        )


ACTIVE = """
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 X-130.
    {0}
    M30
    """

BESIDE = """
    G21
    T0101
    G54
    G0 X52. Z2.
    G1 Z-30. F.2
    G53 G1 X-130. F.5
    {0}
    M30
    """


@pytest.mark.parametrize(
    ("does", "program", "expected"),
    [
        ("rapid", ACTIVE, ""),
        ("rapid", BESIDE, "^^^^^^ warning machine-move-without-rapid: this machine moves in rapid all the same here"),
        # The retract would crawl at .2 mm a turn: 182 mm, some minutes.
        (
            "feed",
            ACTIVE,
            "^^^ warning machine-move-without-rapid: while G1 is active: this machine feeds here, says its",
        ),
        ("feed", BESIDE, ""),
        ("alarm", ACTIVE, "^^^ error machine-move-without-rapid: this machine stops with an alarm here"),
        ("alarm", BESIDE, "^^^^^^ error machine-move-without-rapid: this machine stops with an alarm here"),
    ],
)
def test_what_the_machine_file_settles(does: str, program: str, expected: str) -> None:
    lines = [line for line in program.format(expected).splitlines() if line.strip()]
    check("\n".join(lines) + "\n", setup=setup_of(f'[machine_moves]\nwith_feed = "{does}"\n'))


def test_what_it_does_beside_an_arc_no_file_says() -> None:
    check(
        """
        G21
        T0101
        G54
        G0 X52. Z2.
        G1 Z-30. F.2
        G53 G2 X-130. R5.
        ^^^^^^ error machine-move-without-rapid: G53 beside G2: most lathes move in rapid here
        M30
        """,
        setup=setup_of('[machine_moves]\nwith_feed = "feed"\n'),
    )
