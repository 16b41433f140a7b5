"""Files that are programs, files that are not, and files that would hang or fill the machine."""

from __future__ import annotations

import codecs
import os
import random
from pathlib import Path

import pytest

from waywright.analysis.program_file import Source, Unreadable, decode
from waywright.cli import sources
from waywright.cli.sources import read


def test_utf8_with_and_without_mark(tmp_path: Path) -> None:
    plain, marked = tmp_path / "plain.nc", tmp_path / "marked.nc"
    plain.write_bytes("(Ø50 😀)\r\nG0 X1.\n".encode())
    marked.write_bytes(codecs.BOM_UTF8 + "(Ø50)\n".encode())
    assert read(str(plain)) == Source(str(plain), "(Ø50 😀)\r\nG0 X1.\n", "utf-8", False)
    assert read(str(marked)) == Source(str(marked), "(Ø50)\n", "utf-8", True)


def test_everything_else_is_cp1252() -> None:
    assert decode("a", b"(\xd850)\n") == Source("a", "(Ø50)\n", "cp1252", False)


def test_a_mark_before_text_that_is_no_utf8_is_text() -> None:
    assert decode("a", codecs.BOM_UTF8 + b"(\xd8)") == Source("a", "ï»¿(Ø)", "cp1252", False)


def test_every_byte_of_cp1252_has_a_character_of_its_own() -> None:
    data = bytes(byte for byte in range(32, 256)) + b"\xff" * 200
    source = decode("a", data)
    assert isinstance(source, Source)
    assert (source.encoding, source.bom) == ("cp1252", False)
    text = source.text[: 256 - 32]
    assert len(set(text)) == len(text)
    # Five bytes mean nothing in cp1252 and keep their number; the others are what the codec says.
    undefined = {0x81, 0x8D, 0x8F, 0x90, 0x9D}
    for byte, char in zip(range(32, 256), text, strict=True):
        assert char == (chr(byte) if byte in undefined else bytes([byte]).decode("cp1252"))


def test_line_ends_are_kept() -> None:
    source = decode("a", b"G0\r\nG1\rG2\n\nG3")
    assert isinstance(source, Source)
    assert source.text == "G0\r\nG1\rG2\n\nG3"


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"G0 X1.\n\0G1\n", "no program text: byte 8 is NUL"),
        ("G0 X1.\n".encode("utf-16"), "no program text: byte 4 is NUL"),
        (bytes(range(1, 32)) * 4, "no program text: too many control characters"),
        (b"G0\nG1 X" + b"1" * 1_000_000, "no program text: line 2 has 1,000,000 characters or more"),
        (b"G0\r\rG1 X1 ( " + b"b" * (1 << 20) + b")\rG0", "no program text: line 3 has 1,000,000 characters or more"),
    ],
)
def test_what_is_no_program_text(data: bytes, reason: str) -> None:
    assert decode("a.nc", data) == Unreadable("a.nc", reason)


def test_a_long_line_below_the_limit_is_read() -> None:
    assert isinstance(decode("a", b"(" + b"b" * 999_000 + b")\n" * 3), Source)


def test_stray_control_characters_are_left_to_their_line() -> None:
    assert isinstance(decode("a", b"\x02G0 X1.\n\x03\x04"), Source)


def test_random_bytes_never_raise() -> None:
    dice = random.Random(7)
    for _ in range(500):
        data = dice.randbytes(dice.randrange(200)).replace(b"\0", b"")
        outcome = decode("a", data)
        assert isinstance(outcome, Source | Unreadable)


def test_an_empty_file_is_an_empty_program(tmp_path: Path) -> None:
    (tmp_path / "a.nc").touch()
    assert read(str(tmp_path / "a.nc")) == Source(str(tmp_path / "a.nc"), "", "utf-8", False)


def test_missing_file_and_impossible_name(tmp_path: Path) -> None:
    assert read(str(tmp_path / "no.nc")) == Unreadable(str(tmp_path / "no.nc"), "no such file or folder")
    # Python says it in other words from version to version.
    impossible = read("a\0b")
    assert isinstance(impossible, Unreadable)
    assert "null" in impossible.reason


def test_folder(tmp_path: Path) -> None:
    assert read(str(tmp_path)) == Unreadable(str(tmp_path), "a folder, not a file")


def test_a_pipe_that_nobody_writes_to_does_not_hang(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.nc")
    assert read(str(tmp_path / "a.nc")) == Unreadable(str(tmp_path / "a.nc"), "not a regular file")


def test_a_device_without_an_end_is_not_read() -> None:
    assert read("/dev/zero") == Unreadable("/dev/zero", "not a regular file")


def test_file_without_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # Whoever runs the tests may be allowed everything, so the refusal is the operating system's only in name.
    def refuse(path: str, flags: int) -> int:
        raise PermissionError(13, "Permission denied", path)

    monkeypatch.setattr(os, "open", refuse)
    assert read("a.nc") == Unreadable("a.nc", "no permission to read it")


def test_files_of_64_megabytes_are_refused_unread(tmp_path: Path) -> None:
    large = tmp_path / "large.nc"
    with large.open("wb") as file:
        file.truncate(64 << 20)
    assert read(str(large)) == Unreadable(str(large), "too large: 67 MB, the limit is 64 MB")


def test_a_file_larger_than_the_system_says_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sources, "LARGEST_FILE", 100)
    status = os.stat_result((0o100644, 0, 0, 1, 0, 0, 0, 0, 0, 0))
    monkeypatch.setattr(os, "fstat", lambda descriptor: status)
    (tmp_path / "a.nc").write_bytes(b"G" * 100)
    outcome = read(str(tmp_path / "a.nc"))
    assert isinstance(outcome, Unreadable)
    assert outcome.reason.startswith("too large")
