"""A thread cut under constant surface speed.

What it reports
    G32, G34, G76 or G92 (G33, G34, G76, G78 in code system B; G33, G34, G78, G21 in C) that cuts while G96 is on:
    error, on the code. Told once for each G96.
Why it matters
    Under G96 the spindle changes its speed with the diameter, and each pass of a thread is at another diameter. How far
    the slide lags behind the spindle depends on the speed: the passes do not fall into one groove, and the thread is
    cut apart. Some controls hold the speed during a pass, but cut the next one at another; some stop with an alarm.
Example
    G21
    T0707
    G54
    G50 S2000
    G96 S120 M3
    G0 X34. Z5.
    G76 P021060 Q100 R.05
    G76 X27.546 Z-21. P1227 Q350 F2.
    G97 S1100
    G53 G0 X0.
    G53 G0 Z0.
    M30
Instead
    G21
    T0707
    G54
    G97 S1100 M3
    G0 X34. Z5.
    G76 P021060 Q100 R.05
    G76 X27.546 Z-21. P1227 Q350 F2.
    G53 G0 X0.
    G53 G0 Z0.
    M30
Remedy and its proof
    None. G97 needs the speed that the thread is to be cut with, which only the author knows.
When it stays silent
    Where G97 is on, or the program has said neither; after a call, for the called program may have changed it; on the
    first block of G76, which cuts nothing; on tapping cycles, which controls treat in many ways; on the passes after
    the first one that was told, until the next G96.
Source
    Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.meaning.plan import Trigger
from waywright.meaning.so_far import Note, thread_code, threads_at_surface_speed
from waywright.rules.model import Finding, Rule, View


def check(view: View) -> Iterator[Finding]:
    taken = view.taken
    if view.past.so_far.notes & Note.THREAD or not threads_at_surface_speed(taken.plan, taken.step):
        return
    code = thread_code(taken.plan)
    if code is None:
        return
    start, end = view.code_span(code.name)
    yield Finding(RULE, "error", start, end, (code.name,))


def sentence(code: str) -> str:
    return (
        f"{code} cuts a thread while G96 is on: each pass is at another diameter, so the spindle turns at another "
        "speed, and the passes do not fall into one groove. G97 with a speed belongs before it."
    )


RULE = Rule("thread-at-surface-speed", Trigger.CYCLE, check, sentence)
