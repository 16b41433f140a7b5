"""Threads cut while G96 is on. That threads want G97: common practice, no source."""

from __future__ import annotations

import pytest
from fixtures import check

from waywright.codes.model import System

ONLY = "thread-at-surface-speed"


def test_the_cycle_of_many_passes() -> None:
    # M30 x 2: from X34 to the root at X27.546. At 120 m/min the spindle goes from 1,123 rev/min at X34 up to 1,387 at
    # X27.546; the first block of G76 cuts nothing.
    check("""
        G21 G40
        T0707
        G54
        G50 S2000
        G96 S120 M3
        G0 X34. Z5.
        G76 P021060 Q100 R.05
        G76 X27.546 Z-21. P1227 Q350 F2.
        ^^^ error thread-at-surface-speed: G76 cuts a thread while G96 is on: each pass is at another diameter
        G97 S1100
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """)


def test_turns_a_minute_and_nothing_said() -> None:
    program = """
        G21 G40
        T0707
        G54
        {}
        G0 X34. Z5.
        G76 P021060 Q100 R.05
        G76 X27.546 Z-21. P1227 Q350 F2.
        G53 G0 X0.
        G53 G0 Z0.
        M30
        """
    for speed in ("G97 S1100 M3", "M3 S1100", "G50 S2000\nG96 S120 M3\nG97 S1100"):
        check(program.format(speed.replace("\n", "\n        ")))


def test_g97_in_the_block_itself_and_a_call_before() -> None:
    check(
        """
        G21
        T0707
        G50 S2000
        G96 S120 M3
        G0 X34. Z5.
        G97 S1100 G92 X29.4 Z-20. F2.
        X28.9
        G96 S120
        M98 P9001
        G92 X29.4 Z-20. F2.
        M30
        """,
        only=ONLY,
    )


def test_passes_of_a_thread_are_told_once() -> None:
    # Three passes with G92, the later ones without the code; then single passes with G32. After a new G96 it is told
    # anew.
    check(
        """
        G21
        T0707
        G54
        G50 S2000
        G96 S120 M3
        G0 X34. Z5.
        G92 X29.4 Z-20. F2.
        ^^^ error thread-at-surface-speed: G92 cuts
        X28.9
        X28.5
        G0 X34.
        G0 X29.
        G32 Z-20. F2.
        G0 X34.
        G0 Z5.
        G97 S1000
        G0 X29.
        G32 Z-20. F2.
        G0 X34.
        G0 Z5.
        G96 S120
        G0 X28.8
        G32 Z-20. F2.
        ^^^ error thread-at-surface-speed: G32 cuts
        G0 X34.
        M30
        """,
        only=ONLY,
    )


def test_a_switch_that_skips_g97() -> None:
    check(
        """
        G21
        T0707
        G54
        G50 S2000
        G96 S120 M3
        /G97 S1000
        G0 X34. Z5.
        G92 X29.4 Z-20. F2.
        ^^^ error thread-at-surface-speed: With block-delete switch 1 on: G92
        G0 X60.
        M30
        """,
        only=ONLY,
    )


def test_tapping_and_turning_under_g96() -> None:
    check(
        """
        G21
        T0707
        G54
        G50 S2000
        G96 S120 M3
        G0 X34. Z5.
        G90 X30. Z-20. F.2
        G0 X0. Z5.
        G84 Z-20. R2. F1.5
        G80
        M30
        """,
        only=ONLY,
    )


@pytest.mark.parametrize(
    ("system", "metric", "single", "cycle", "many"),
    [("B", "G21", "G33", "G78", "G76"), ("C", "G71", "G33", "G21", "G78")],
)
def test_systems_b_and_c(system: System, metric: str, single: str, cycle: str, many: str) -> None:
    for block in (f"{single} Z-20. F2.", f"{cycle} X29.4 Z-20. F2.", f"{many} X27.546 Z-21. P1227 Q350 F2."):
        code = block.split()[0]
        check(
            f"""
            {metric} G90
            T0707
            G54
            G92 S2000
            G96 S120 M3
            G0 X34. Z5.
            {block}
            ^^^ error thread-at-surface-speed: {code} cuts a thread
            G0 X60.
            M30
            """,
            system,
            only=ONLY,
        )
