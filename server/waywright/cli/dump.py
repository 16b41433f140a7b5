"""`waywright dump`: the whole trace of a program, for tests and for reports of a mistake."""

from __future__ import annotations

from typing import Annotated

import typer

from .options import CLEAN, COULD_NOT_RUN, CodeSystemOption, SetupOption, command, complain


@command
def dump(
    file: Annotated[str, typer.Argument(metavar="FILE", show_default=False, help="The program.")],
    setup: SetupOption = None,
    code_system: CodeSystemOption = None,
) -> int:
    """Print what holds after each block: modes, tool, and the position and frame of each axis, on each way.

    A way is one setting of the block-delete switches. Exit code: 0, or 2 where the program cannot be read.
    """
    from waywright.analysis.engine import Analysis
    from waywright.analysis.program_file import Unreadable
    from waywright.features.dump import dump as lines
    from waywright.report.text import printable

    from .machine import Setups
    from .sources import read

    setups = Setups(setup, code_system)
    source = read(file)
    if isinstance(source, Unreadable):
        complain(f"{source.path}: {source.reason}")
        return COULD_NOT_RUN
    for line in lines(Analysis(source.text, setups.of(file), setups.library_of(file))):
        print(printable(line))
    return CLEAN
