"""What is known of the machine and the job beside the program's own text."""

from __future__ import annotations

import msgspec

from waywright.codes.model import System


class Setup(msgspec.Struct, frozen=True):
    """code_system: how the program's codes are read. code_system_given: False where "A" is only assumed."""

    code_system: System = "A"
    code_system_given: bool = False
