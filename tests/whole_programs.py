"""The whole programs of the tests and of the demo, each with what it is read with."""

from __future__ import annotations

from pathlib import Path

import msgspec

from waywright import demo
from waywright.cli.machine import Setups
from waywright.codes.model import System
from waywright.meaning.library import NO_LIBRARY, Library
from waywright.setup.model import Setup

HERE = Path(__file__).parent / "programs"
DEMO = Path(demo.__file__).parent
SYSTEMS: dict[str, System] = {"ring-system-b": "B"}
"""By program of this folder, none of which has a machine file: all others are of code system A."""

PROGRAMS = sorted([*HERE.glob("*.nc"), *DEMO.rglob("*.nc")])
DEMO_PROGRAMS = sorted(DEMO.rglob("*.nc"))


def name_of(file: Path) -> str:
    return file.relative_to(DEMO if file.is_relative_to(DEMO) else HERE).with_suffix("").as_posix()


def setup_of(file: Path) -> Setup:
    """As the command line finds it, for a program of the demo; its machine file named as seen from the demo."""
    if not file.is_relative_to(DEMO):
        system = SYSTEMS.get(file.stem)
        return Setup() if system is None else Setup(code_system=system, code_system_given=True)
    setup = Setups(None, None, str(DEMO)).of(str(file))
    assert setup.source is not None
    assert setup.problems == ()
    source = Path(setup.source).resolve().relative_to(DEMO.resolve()).as_posix()
    return msgspec.structs.replace(setup, source=source)


def library_of(file: Path) -> Library:
    """What lies beside a program of the demo."""
    return Setups(None, None, str(DEMO)).library_of(str(file)) if file.is_relative_to(DEMO) else NO_LIBRARY
