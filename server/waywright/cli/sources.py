"""Reading a program's file, or saying in one line why it cannot be read."""

from __future__ import annotations

import os
import stat

from waywright.analysis.program_file import Source, Unreadable, decode

LARGEST_FILE = 64_000_000


def read(path: str) -> Source | Unreadable:
    try:
        data = _regular_file(path)
    except _Refused as refused:
        return Unreadable(path, str(refused))
    except (OSError, ValueError) as error:
        # ValueError: a path that holds a NUL character.
        return Unreadable(path, _reason(error))
    return decode(path, data)


class _Refused(Exception):
    pass


def _regular_file(path: str) -> bytes:
    # Opened without blocking and judged by what was really opened: a pipe nobody writes to would wait for ever, and a
    # device may have no end. Where the system knows no such flag (Windows) it knows no such files in folders either.
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOCTTY", 0)
    descriptor = os.open(path, flags)
    try:
        status = os.fstat(descriptor)
        if stat.S_ISDIR(status.st_mode):
            raise _Refused("a folder, not a file")
        if not stat.S_ISREG(status.st_mode):
            raise _Refused("not a regular file")
        if status.st_size >= LARGEST_FILE:
            raise _Refused(f"too large: {status.st_size / 1e6:,.0f} MB, the limit is {LARGEST_FILE / 1e6:,.0f} MB")
        with open(descriptor, "rb", closefd=False) as file:
            # The size is only what the system says: files that it writes while they are read have size 0.
            data = file.read(LARGEST_FILE)
        if len(data) == LARGEST_FILE:
            raise _Refused(f"too large: the limit is {LARGEST_FILE / 1e6:,.0f} MB")
        return data
    finally:
        os.close(descriptor)


def _reason(error: OSError | ValueError) -> str:
    if isinstance(error, FileNotFoundError):
        return "no such file or folder"
    if isinstance(error, PermissionError):
        return "no permission to read it"
    if isinstance(error, OSError) and error.strerror:
        return error.strerror[0].lower() + error.strerror[1:]
    return str(error)
