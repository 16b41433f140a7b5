"""A disk in memory, for the tests of what is looked for there. Its paths are those of a system with slashes."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from waywright.setup.files import Stamp


class FakeFiles:
    """Files by path, text in place of bytes where one cannot be read; folders of other filesystems by their number;
    links by path, to a file or a folder. Counts how often each file was read and each folder listed.

    What is put into `files` later is noticed like on a disk: by another stamp.
    """

    def __init__(
        self,
        files: dict[str, bytes | str],
        mounts: dict[str, int] | None = None,
        links: dict[str, str] | None = None,
    ) -> None:
        self.files = files
        self.mounts = mounts or {}
        self.links = links or {}
        self.asked: Counter[str] = Counter()
        self.locked: set[str] = set()  # folders that may not be listed
        self.missing: set[str] = set()  # folders that are not there

    def device(self, folder: Path) -> int | None:
        for each in (folder, *folder.parents):
            if str(each) in self.mounts:
                return self.mounts[str(each)]
        return None if str(folder) in self.missing else 1

    def is_file(self, path: Path) -> bool:
        return str(self._real(path)) in self.files

    def read(self, path: Path, most: int) -> bytes | str:
        self.asked[str(path)] += 1
        return self.files[str(self._real(path))][:most]

    def names(self, folder: Path, most: int) -> list[str] | str:
        self.asked[str(folder)] += 1
        return "Permission denied" if str(folder) in self.locked else sorted(self._names(folder), reverse=True)[:most]

    def real(self, path: Path) -> Path | None:
        return self._real(path)

    def stamp(self, path: Path) -> Stamp | None:
        real = self._real(path)
        inside = hash(tuple(sorted(self._names(path))))
        return hash(self.files.get(str(real))), inside, 0

    def _names(self, folder: Path) -> set[str]:
        real = self._real(folder)
        inside = [Path(file).relative_to(real) for file in self.files if Path(file).is_relative_to(real)]
        links = [Path(link).name for link in self.links if Path(link).parent == folder]
        return {*(each.parts[0] for each in inside if each.parts), *links}

    def _real(self, path: Path) -> Path:
        for each in (path, *path.parents):
            if str(each) in self.links:
                return self._real(Path(self.links[str(each)]) / path.relative_to(each))
        return path
