"""Which files a command line means: files as named, folders searched for programs."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from fnmatch import fnmatchcase
from pathlib import Path, PurePath

from waywright.analysis.program_file import SUFFIXES, Unreadable

PATTERNS = tuple(f"*{suffix}" for suffix in SUFFIXES)


def programs(paths: Iterable[str], patterns: Sequence[str] = ()) -> Iterator[str | Unreadable]:
    """Each file once, in the order named, those of a folder sorted; a folder that offers none is told."""
    wanted = [pattern.lower() for pattern in patterns or PATTERNS]
    seen: set[str] = set()
    for path in paths:
        if not _is_folder(path):
            yield from _unseen([path], seen)
            continue
        troubles: list[Unreadable] = []
        found = sorted(_search(path, wanted, troubles), key=lambda file: PurePath(file).parts)
        yield from troubles
        if not found and not troubles:
            yield Unreadable(path, f"no programs in this folder ({', '.join(wanted)})")
        yield from _unseen(found, seen)


def _unseen(files: list[str], seen: set[str]) -> Iterator[str]:
    # By real path: a file that is named twice, or reached by a link as well, is one program.
    for file in files:
        try:
            real = os.path.realpath(file)
        except (OSError, ValueError):
            real = file
        if real not in seen:
            seen.add(real)
            yield file


def _is_folder(path: str) -> bool:
    try:
        return os.path.isdir(path)
    except ValueError:  # a path that holds a NUL character
        return False


def _search(folder: str, wanted: list[str], troubles: list[Unreadable]) -> Iterator[str]:
    # Links to folders are followed, since archives are built of them; a folder met before ends that branch, so that a
    # link to a folder above cannot go round for ever. The order is fixed, so that the same name is kept each time.
    entered: set[str] = set()
    pending = [folder]
    while pending:
        here = pending.pop()
        real = os.path.realpath(here)
        if real in entered:
            continue
        entered.add(real)
        try:
            names = sorted(os.listdir(here), reverse=True)
        except OSError as error:
            troubles.append(Unreadable(here, f"this folder cannot be listed: {error.strerror or error}"))
            continue
        for name in names:
            path = os.path.join(here, name)
            if os.path.isdir(path):
                # Folders whose name begins with a point belong to tools like version control, not to the shop.
                if not name.startswith("."):
                    pending.append(path)
            elif _matches(os.path.relpath(path, folder), wanted):
                yield path


def _matches(path: str, wanted: list[str]) -> bool:
    whole = path.replace(os.sep, "/").lower()
    name = whole.rpartition("/")[2]
    return any(fnmatchcase(whole if "/" in pattern else name, pattern) for pattern in wanted)


def demo_folder() -> str:
    """As short as it can be said from here, since it stands before each result."""
    from waywright import demo

    folder = Path(demo.__file__).parent
    return os.path.relpath(folder) if folder.is_relative_to(Path.cwd()) else str(folder)
