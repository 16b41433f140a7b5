"""Putting another text in place of a program's: at each moment the file holds the whole of the one or the other."""

from __future__ import annotations

import os
import stat
import tempfile
from contextlib import suppress

from waywright.analysis.program_file import Source, encode

from .sources import read

_WRITABLE = stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH


def replace(source: Source, text: str) -> str:
    """Gives why the file was left alone, "" where it holds the text now. source: the file as it was read.

    A link stays a link: the file that it leads to is replaced.
    """
    file = os.path.realpath(source.path)
    try:
        status = os.stat(file)
        # Asked for beside the permission: whoever may do everything has to be stopped by the sign as well.
        if not status.st_mode & _WRITABLE or not os.access(file, os.W_OK):
            return "it is write-protected"
        return _replaced(source, file, status, encode(source, text))
    except PermissionError:
        return f"no permission to write in the folder {os.path.dirname(file)}"
    except OSError as error:
        return f"it could not be written: {error.strerror or error}"


def _replaced(source: Source, file: str, status: os.stat_result, data: bytes) -> str:
    folder = os.path.dirname(file)
    # In the same folder, since only there the last step is one that is done wholly or not at all.
    descriptor, beside = tempfile.mkstemp(prefix=".waywright-", dir=folder)
    try:
        with open(descriptor, "wb") as written:
            written.write(data)
            written.flush()
            if not _same_owner(written.fileno(), status):
                return "it belongs to another user or group, who would lose it"
            os.chmod(beside, stat.S_IMODE(status.st_mode))
            os.fsync(written.fileno())
        if read(source.path) != source:
            return "it has been changed meanwhile"
        os.replace(beside, file)
        beside = ""
    finally:
        if beside:
            os.unlink(beside)
    _sync_folder(folder)
    return ""


def _same_owner(descriptor: int, status: os.stat_result) -> bool:
    """Gives the new file to whom the old one belongs; whether that could be done."""
    mine = os.fstat(descriptor)
    if (mine.st_uid, mine.st_gid) == (status.st_uid, status.st_gid):
        return True
    try:
        os.fchown(descriptor, status.st_uid, status.st_gid)
    except PermissionError:
        return False
    return True


def _sync_folder(folder: str) -> None:
    # The file is there already; only whether it outlives a power cut hangs on this, and not every system can tell.
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
