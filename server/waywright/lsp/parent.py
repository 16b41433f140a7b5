"""Whether the editor's process is still there: when it crashes, nobody else ends the server."""

from __future__ import annotations

import asyncio
import os
import sys
from collections.abc import Callable

INTERVAL = 1.0
"""Seconds between looks."""


async def watch(process: int, gone: Callable[[], None], interval: float = INTERVAL) -> None:
    """Calls `gone` once the process has ended."""
    while is_running(process):
        await asyncio.sleep(interval)
    gone()


if sys.platform == "win32":
    import ctypes

    _SYNCHRONIZE = 0x00100000
    _WAIT_TIMEOUT = 0x00000102

    def is_running(process: int) -> bool:
        # os.kill with signal 0 would end the process here instead of looking for it.
        kernel = ctypes.windll.kernel32
        handle = kernel.OpenProcess(_SYNCHRONIZE, False, process)
        if not handle:
            return False
        try:
            return bool(kernel.WaitForSingleObject(handle, 0) == _WAIT_TIMEOUT)
        finally:
            kernel.CloseHandle(handle)

else:

    def is_running(process: int) -> bool:
        try:
            os.kill(process, 0)
        except ProcessLookupError:
            return False
        except (PermissionError, OverflowError):
            # Another user's process is there; a number that no process can have tells nothing, so it ends nothing.
            return True
        return True
