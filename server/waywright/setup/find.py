"""Finding the machine file of a program, and reading it."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable
from pathlib import Path

from waywright.setup.files import DISK, Files
from waywright.setup.model import Setup

NAME = "lathe.toml"


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


def load_file(path: Path, rule_names: Collection[str] = (), files: Files = DISK, opened: Iterable[Path] = ()) -> Setup:
    """The setup of the machine file at the path. A file that cannot be read gives an empty one with a problem.

    opened: the folders that the person has opened or named, which the file may lead to.
    """
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

    def why_not(name: str) -> str:
        from waywright.setup.folders import not_looked_in  # few files name any folder

        return not_looked_in(name, path, opened, files)

    return load(text, str(path), rule_names, why_not)
