"""Finding the machine file of a program, and reading it. The disk is reached through `Files` alone."""

from __future__ import annotations

import os
import stat
from collections.abc import Collection
from pathlib import Path
from typing import Protocol

from waywright.setup.model import Setup

NAME = "lathe.toml"


class Files(Protocol):
    """What is asked of the disk. Nothing of it fails for a path that is not there or may not be read."""

    def device(self, folder: Path) -> int | None:
        """The filesystem that the folder lies in; None where there is no such folder."""

    def is_file(self, path: Path) -> bool: ...

    def read(self, path: Path, most: int) -> bytes | str:
        """At most so many bytes of the file, or in a few words why it cannot be read."""


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
            return getattr(error, "strerror", None) or str(error)


DISK = Disk()


def find(program: Path, files: Files = DISK, top: Path | None = None) -> Path | None:
    """The nearest lathe.toml in the program's folder or above it, or None.

    The search stays on the filesystem of the program's folder: another machine's files may be mounted round it. With
    `top` that folder is the last that is looked in, and a program outside of it has no machine file.
    """
    # No symbolic link is followed: a program belongs to the folder in which the person sees it.
    folder = Path(os.path.abspath(program)).parent
    last = None if top is None else Path(os.path.abspath(top))
    if last is not None and not folder.is_relative_to(last):
        return None
    device = files.device(folder)
    for each in (folder, *folder.parents):
        if files.device(each) != device:
            return None
        if files.is_file(each / NAME):
            return each / NAME
        if each == last:
            return None
    return None


def load_file(path: Path, rule_names: Collection[str] = (), files: Files = DISK) -> Setup:
    """The setup of the machine file at the path. A file that cannot be read gives an empty one with a problem."""
    # Imported here, since most programs have no machine file, and looking for one must not take the time that the
    # reader of TOML takes to load.
    from waywright.setup.load import LARGEST_TEXT, load, unusable

    largest = 4 * LARGEST_TEXT  # in bytes
    if not files.is_file(path):
        return unusable(str(path), 1, "is not there, or is no file")
    data = files.read(path, largest + 1)
    if isinstance(data, str):
        return unusable(str(path), 1, f"cannot be read: {data}")
    if len(data) > largest:
        return unusable(str(path), 1, "is too large")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        return unusable(str(path), line, "is no UTF-8 text from here on. Nothing of it counts until this is put right")
    return load(text, str(path), rule_names)
