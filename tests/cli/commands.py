"""What a test of the command line gets: a function that runs a command in an empty folder."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple


class Outcome(NamedTuple):
    code: int
    out: str
    err: str


Run = Callable[..., Outcome]
