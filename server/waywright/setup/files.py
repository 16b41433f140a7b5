"""What is asked of the disk for machine files and for programs that other programs call."""

from __future__ import annotations

import os
import stat
from itertools import islice
from pathlib import Path
from typing import Protocol

Stamp = tuple[int, int, int]


class Files(Protocol):
    """Nothing of it fails for a path that is not there or may not be read."""

    def device(self, folder: Path) -> int | None:
        """The filesystem that the folder lies in; None where there is no such folder."""

    def is_file(self, path: Path) -> bool: ...

    def read(self, path: Path, most: int) -> bytes | str:
        """At most so many bytes of the file, or in a few words why it cannot be read."""

    def names(self, folder: Path, most: int) -> list[str] | str:
        """The names of at most so many entries, in no order, or in a few words why the folder cannot be listed."""

    def real(self, path: Path) -> Path | None:
        """Where the path leads when all links are followed; None where that has no end."""

    def stamp(self, path: Path) -> Stamp | None:
        """Changes when the file does, or when names come into the folder or go; None where there is nothing."""


class Disk:
    def device(self, folder: Path) -> int | None:
        try:
            return os.stat(folder).st_dev
        except (OSError, ValueError):
            # ValueError: a path that holds a NUL character.
            return None

    def is_file(self, path: Path) -> bool:
        try:
            return stat.S_ISREG(os.stat(path).st_mode)
        except (OSError, ValueError):
            return False

    def read(self, path: Path, most: int) -> bytes | str:
        try:
            with open(path, "rb") as file:
                return file.read(most)
        except (OSError, ValueError) as error:
            return _reason(error)

    def names(self, folder: Path, most: int) -> list[str] | str:
        try:
            with os.scandir(folder) as entries:
                return [entry.name for entry in islice(entries, most)]
        except (OSError, ValueError) as error:
            return _reason(error)

    def real(self, path: Path) -> Path | None:
        try:
            return Path(os.path.realpath(path))
        except (OSError, ValueError):
            return None

    def stamp(self, path: Path) -> Stamp | None:
        try:
            status = os.stat(path)
        except (OSError, ValueError):
            return None
        return status.st_mtime_ns, status.st_size, status.st_ino


def _reason(error: OSError | ValueError) -> str:
    return getattr(error, "strerror", None) or str(error)


DISK = Disk()
