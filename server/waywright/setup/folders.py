"""The folders of programs that a machine file names, and how far they may lead.

A machine file comes with an archive, from whoever made that. So it says what lies near it, and not what is read
elsewhere on this computer: a folder counts where it lies in the machine file's own folder, or in one that the person
has opened or named.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path, PurePosixPath, PureWindowsPath

from waywright.setup.files import Files


def named_folder(name: str, machine_file: Path) -> Path:
    """The folder that the machine file means."""
    return Path(os.path.normpath(_own_folder(machine_file) / name))


def not_looked_in(name: str, machine_file: Path, opened: Iterable[Path], files: Files) -> str:
    """Why no program is looked for in a named folder, as the end of a sentence that begins with it; "" where one is.

    opened: the folders that the person has opened or named.
    """
    if PurePosixPath(name).is_absolute() or PureWindowsPath(name).anchor:
        return f"is an absolute path, and folders are named from that of {machine_file.name} on"
    own = _own_folder(machine_file)
    trees = [own, *(Path(os.path.abspath(each)) for each in opened)]
    folder = named_folder(name, machine_file)
    # Of the trees round the machine file the largest is the one to be named.
    largest = min((tree for tree in trees if own.is_relative_to(tree)), key=lambda tree: len(tree.parts))
    outside = f"leads out of {f'the folder of {machine_file.name}' if largest == own else largest}"
    if not any(folder.is_relative_to(tree) for tree in trees):
        return outside
    if files.device(folder) is None:
        return "is not there"
    if not lies_in(folder, trees, files):
        return f"is a link that {outside}"
    return ""


def lies_in(path: Path, trees: Iterable[Path], files: Files) -> bool:
    """Whether the path lies in one of the folders, with all links followed."""
    real = files.real(path)
    return real is not None and any(real.is_relative_to(tree) for tree in map(files.real, trees) if tree is not None)


def _own_folder(machine_file: Path) -> Path:
    return Path(os.path.abspath(machine_file)).parent
