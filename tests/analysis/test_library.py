"""Which file holds the program that another one calls, and what is said where nobody can tell."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from fake_files import FakeFiles

from waywright.analysis import library
from waywright.analysis.document import Document
from waywright.analysis.engine import Analysis
from waywright.analysis.library import FolderLibrary, Shelf, number_of
from waywright.features.dump import dump
from waywright.meaning.library import Program
from waywright.setup.model import Setup

CALLER = Path("/shop/jobs/body.nc")
SUB = b"O1234 (RELIEF)\nG1 W-2. F.1\nM99\n"


def folder_library(
    files: FakeFiles, *folders: str, program: Path = CALLER, opened: tuple[str, ...] = (), shelf: Shelf | None = None
) -> FolderLibrary:
    setup = Setup(source="/shop/jobs/lathe.toml", program_folders=folders)
    return FolderLibrary(program, setup, shelf or Shelf(files), [Path(each) for each in opened])


def found(files: FakeFiles, number: int, *folders: str, program: Path = CALLER) -> str:
    """The path and the first line of the program, or the refusal."""
    looked = folder_library(files, *folders, program=program)
    program_found = looked.program(number)
    if program_found is None:
        return looked.refusal(number)
    assert looked.refusal(number) == ""
    assert program_found.number == number
    return f"{program_found.path}:{program_found.first}"


def text(program: Program | None) -> str:
    assert program is not None
    return "".join(block.text for block in program.blocks)


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("1234.nc", 1234),
        ("O1234.NC", 1234),
        ("o1234.txt", 1234),
        ("01234.tap", 1234),
        ("O0012", 12),
        ("12", 12),
        ("0.nc", 0),
        ("OP1234.nc", None),
        ("1234-1.nc", None),
        ("1234 (2).nc", None),
        ("OO12.nc", None),
        ("O.nc", None),
        (".nc", None),
        ("\N{ARABIC-INDIC DIGIT ONE}.nc", None),
        ("9" * 40, None),
    ],
)
def test_numbers_in_names(name: str, number: int | None) -> None:
    assert number_of(name) == number


@pytest.mark.parametrize("name", ["1234.nc", "O1234.nc", "o01234.CNC", "1234.TAP", "O1234.txt", "O1234", "1234"])
def test_beside_the_program_that_calls(name: str) -> None:
    files = FakeFiles({f"/shop/jobs/{name}": SUB, "/shop/jobs/body.nc": b"", "/shop/1234.nc": b"M99"})
    assert found(files, 1234) == f"/shop/jobs/{name}:0"
    assert found(files, 12) == ""


def test_what_is_no_program_by_its_name() -> None:
    files = FakeFiles({"/shop/jobs/1234.pdf": SUB, "/shop/jobs/1234.nc.bak": SUB, "/shop/jobs/1234.nc/a": b""})
    assert found(files, 1234) == ""
    # Programs of this shop end so, as the one that calls shows.
    assert found(files, 1234, program=Path("/shop/jobs/body.PDF")) == "/shop/jobs/1234.pdf:0"


def test_folders_in_their_order_and_beside_first() -> None:
    files = FakeFiles({"/shop/jobs/subs/1234.nc": SUB, "/shop/jobs/macros/O1234.nc": SUB})
    assert found(files, 1234) == ""
    assert found(files, 1234, "macros", "subs") == "/shop/jobs/macros/O1234.nc:0"
    assert found(files, 1234, "subs", "macros") == "/shop/jobs/subs/1234.nc:0"
    files.files["/shop/jobs/1234.txt"] = SUB
    assert found(files, 1234, "subs", "macros") == "/shop/jobs/1234.txt:0"


def test_o_lines_decide_over_names() -> None:
    both = b"%\n(SUBS OF THE BODY)\nO1234\nG1 W-2.\nM99\n:1235 (SECOND)\nM99\n%\n"
    files = FakeFiles({"/shop/jobs/1234.nc": both, "/shop/jobs/1235.nc": b"O9\nM99\n", "/shop/jobs/1236.nc": both})
    looked = folder_library(files)
    assert text(looked.program(1234)) == "O1234\nG1 W-2.\nM99\n"
    assert found(files, 1234) == "/shop/jobs/1234.nc:2"
    assert found(files, 1235) == "/shop/jobs/1235.nc holds no O1235"
    assert found(files, 1236) == "/shop/jobs/1236.nc holds no O1236"
    # Another folder may have it.
    files.files["/shop/jobs/subs/1235.nc"] = both
    assert found(files, 1235, "subs") == "/shop/jobs/subs/1235.nc:5"


def test_a_file_without_an_o_line_is_the_program_of_its_name() -> None:
    files = FakeFiles({"/shop/jobs/O0077.nc": b"%\nG55\nM99\n%"})
    assert text(folder_library(files).program(77)) == "%\nG55\nM99\n%"
    files.files["/shop/jobs/77.nc"] = b""
    assert found(files, 77) == "both /shop/jobs/77.nc and /shop/jobs/O0077.nc hold O77"
    # A setup sheet is called like its program, and is none.
    files.files["/shop/jobs/77.nc"] = b"O77\nM99\n"
    assert found(files, 77) == "/shop/jobs/77.nc:0"


def test_two_files_of_one_folder() -> None:
    files = FakeFiles({"/shop/jobs/O1234.nc": SUB, "/shop/jobs/1234.txt": SUB + b"(OLD)\n"})
    files.files["/shop/jobs/subs/1234.nc"] = SUB
    assert found(files, 1234, "subs") == "both /shop/jobs/1234.txt and /shop/jobs/O1234.nc hold O1234"
    # A copy is as good as the original.
    files.files["/shop/jobs/1234.txt"] = SUB
    assert found(files, 1234) == "/shop/jobs/1234.txt:0"


def test_twice_in_one_file() -> None:
    files = FakeFiles({"/shop/jobs/1234.nc": SUB + SUB})
    assert found(files, 1234) == "O1234 stands more than once in /shop/jobs/1234.nc"


def test_what_cannot_be_looked_into_may_hold_it() -> None:
    files = FakeFiles({"/shop/jobs/1234.nc": "Permission denied", "/shop/jobs/subs/1234.nc": SUB})
    assert found(files, 1234, "subs") == "/shop/jobs/1234.nc cannot be read: permission denied"
    files.files["/shop/jobs/1234.nc"] = b"G0\0"
    assert found(files, 1234, "subs") == "/shop/jobs/1234.nc is no program text: byte 3 is NUL"
    del files.files["/shop/jobs/1234.nc"]
    assert found(files, 1234, "subs") == "/shop/jobs/subs/1234.nc:0"
    files.locked.add("/shop/jobs")
    assert found(files, 1234, "subs") == "the folder /shop/jobs cannot be listed: permission denied"


def test_large_files_and_folders(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(library, "LARGEST_CALLED", 100)
    monkeypatch.setattr(library, "MOST_NAMES", 3)
    files = FakeFiles({"/shop/jobs/1234.nc": b" " * 101, "/shop/jobs/1235.nc": b" " * 100, "/shop/jobs/a": b""})
    assert found(files, 1234).startswith("/shop/jobs/1234.nc is too large: ")
    assert found(files, 1235) == "/shop/jobs/1235.nc:0"
    files.files["/shop/jobs/b"] = b""
    assert found(files, 1235) == "the folder /shop/jobs has too many entries"


def test_a_folder_of_no_use_is_said_where_it_would_have_been_looked_in() -> None:
    files = FakeFiles({"/shop/jobs/subs/1234.nc": SUB, "/shop/macros/1235.nc": b"O1235\nM99\n"})
    out = 'the folder "../macros" of lathe.toml leads out of the folder of lathe.toml'
    assert found(files, 1234, "subs", "../macros") == "/shop/jobs/subs/1234.nc:0"
    assert found(files, 1235, "subs", "../macros") == out
    # What comes behind it may not be what the control takes.
    assert found(files, 1234, "../macros", "subs") == out
    opened = folder_library(files, "../macros", opened=("/shop",))
    assert opened.program(1235) is not None
    files.missing.add("/shop/jobs/gone")
    assert found(files, 1235, "gone", "subs") == 'the folder "gone" of lathe.toml is not there'
    # Only the library that may has listed it.
    assert files.asked["/shop/macros"] == 1


def test_links_that_lead_elsewhere_are_not_read() -> None:
    links = {"/shop/jobs/1234.nc": "/etc/1234.nc", "/shop/jobs/1235.nc": "/shop/jobs/old/1235.nc"}
    files = FakeFiles({"/etc/1234.nc": SUB, "/shop/jobs/old/1235.nc": b"M99\n"}, links=links)
    assert found(files, 1234) == "/shop/jobs/1234.nc is a link that leads elsewhere"
    assert files.asked["/shop/jobs/1234.nc"] == 0
    assert found(files, 1235) == "/shop/jobs/1235.nc:0"
    # A folder that is a link itself is where the person sees the program.
    linked = FakeFiles({"/nas/jobs/1234.nc": SUB}, links={"/shop/jobs": "/nas/jobs"})
    assert found(linked, 1234) == "/shop/jobs/1234.nc:0"


def test_without_a_machine_file_only_beside() -> None:
    files = FakeFiles({"/shop/jobs/1234.nc": SUB})
    looked = FolderLibrary(CALLER, Setup(), Shelf(files))
    assert text(looked.program(1234)) == SUB.decode()


def test_one_shelf_for_many_programs_reads_once() -> None:
    files = FakeFiles({f"/shop/jobs/subs/{number}.nc": b"M99\n" for number in range(500)})
    shelf = Shelf(files)
    programs = {
        id(folder_library(files, "subs", program=Path(f"/shop/jobs/{each}.nc"), shelf=shelf).program(77))
        for each in range(100)
    }
    assert len(programs) == 1
    assert files.asked == {"/shop/jobs": 1, "/shop/jobs/subs": 1, "/shop/jobs/subs/77.nc": 1}


def test_answers_stay_until_told_to_look_again() -> None:
    files = FakeFiles({"/shop/jobs/1234.nc": SUB, "/shop/jobs/subs/a": b""})
    looked = folder_library(files, "subs")
    before = looked.program(1234)
    assert looked.program(1235) is None
    files.files["/shop/jobs/subs/1235.nc"] = b"M99\n"
    assert (looked.program(1234), looked.program(1235)) == (before, None)
    assert not looked.look_again([1234])
    assert looked.program(1234) is before
    assert looked.program(1235) is not None
    # Written anew as it was.
    files.files["/shop/jobs/1234.nc"] = SUB[:]
    assert not looked.look_again([1234, 1235])
    files.files["/shop/jobs/1234.nc"] = SUB.replace(b"W-2.", b"W-3.")
    assert looked.look_again([1234, 1235])
    assert text(looked.program(1234)) == SUB.decode().replace("W-2.", "W-3.")
    del files.files["/shop/jobs/1234.nc"]
    assert looked.look_again([1234, 1235])
    assert looked.program(1234) is None
    # Another reason is another answer.
    files.files["/shop/jobs/1234.nc"] = b"O1\nM99\n"
    assert looked.look_again([1234])
    assert looked.refusal(1234) == "/shop/jobs/1234.nc holds no O1234"


def test_a_program_that_stays_the_same_stays_the_same_object() -> None:
    files = FakeFiles({"/shop/jobs/1234.nc": SUB + b"O1235\nM99\n", "/shop/jobs/1235.nc": b"O1\n"})
    looked = folder_library(files)
    before = looked.program(1234)
    files.files["/shop/jobs/1234.nc"] = SUB + b"O1235\nG4 U1.\nM99\n"
    assert not looked.look_again([1234])
    assert looked.program(1234) is before
    # Further down it is found elsewhere.
    files.files["/shop/jobs/1234.nc"] = b"(X)\n" + SUB
    assert looked.look_again([1234])


def test_what_changed_unseen_is_read_when_told(tmp_path: Path) -> None:
    file = tmp_path / "1234.nc"
    file.write_bytes(SUB)
    os.utime(file, ns=(10**18, 10**18))
    shelf = Shelf()
    looked = FolderLibrary(tmp_path / "body.nc", Setup(), shelf)
    assert "W-2." in text(looked.program(1234))
    file.write_bytes(SUB.replace(b"W-2.", b"W-3."))
    os.utime(file, ns=(10**18, 10**18))
    assert not looked.look_again([1234])
    shelf.forget(file)
    assert looked.look_again([1234])
    assert "W-3." in text(looked.program(1234))
    shelf.forget(file)
    assert not looked.look_again([1234])
    shelf.forget(tmp_path / "never.nc")


def test_documents_that_are_open_win() -> None:
    files = FakeFiles({"/shop/jobs/1234.nc": SUB, "/shop/jobs/subs/a": b""})
    documents: dict[Path, Document] = {}
    shelf = Shelf(files, lambda: documents)
    looked = folder_library(files, "subs", shelf=shelf)
    on_disk = looked.program(1234)
    document = documents[Path("/shop/jobs/1234.nc")] = Document(SUB.decode())
    # As it lies on the disk.
    assert not looked.look_again([1234])
    assert looked.program(1234) is on_disk
    document.edit((1, 4), (1, 7), "-3.")
    assert looked.look_again([1234])
    changed = looked.program(1234)
    assert "W-3." in text(changed)
    # The program is what the document was, while this one goes on.
    document.edit((1, 4), (1, 7), "-4.")
    assert "W-3." in text(changed)
    # One that is not saved yet, and one that is no candidate.
    assert looked.program(7) is None
    documents[Path("/shop/jobs/subs/O7.nc")] = Document("M99\n")
    documents[Path("/shop/jobs/notes.nc")] = Document("O8\nM99\n")
    assert looked.look_again([7, 8])
    assert text(looked.program(7)) == "M99\n"
    assert looked.program(8) is None
    documents.clear()
    assert looked.look_again([7])
    assert text(looked.program(1234)) == SUB.decode()


def test_paths_as_people_see_them() -> None:
    files = FakeFiles({"/shop/jobs/1234.nc": SUB})
    shelf = Shelf(files, shown=lambda path: str(path.relative_to("/shop")))
    assert folder_library(files, shelf=shelf).program(1234).path == "jobs/1234.nc"  # type: ignore[union-attr]  # it is there


def test_a_control_would_stop_at_a_number_that_cannot_be_read() -> None:
    # It ends the program before it all the same.
    files = FakeFiles({"/shop/jobs/1234.nc": SUB + b"O#1\nG55\nO12.5\nM99\n"})
    assert text(folder_library(files).program(1234)) == SUB.decode()


BODY = "G21\nT0101\nG97 S500 M3\nG54\nG0 X50. Z2.\nG1 Z-30. F.2\nM98 P1234\nG53 G0 X-130.\nG53 Z-100.\nG0 Z5.\nM30\n"


def told(analysis: Analysis) -> tuple[list[str], list[str]]:
    """All that holds after each block, and what is found."""
    while not analysis.work(1000):
        pass
    found = [finding.message for each in analysis.found if each is not None for finding in each.findings]
    return list(dump(analysis)), found


def test_told_of_a_change_the_analysis_is_as_from_scratch() -> None:
    files = FakeFiles({})
    looked = folder_library(files)
    analysis = Analysis(BODY, Setup(), looked)
    told(analysis)
    assert analysis.calls == {1234}
    seen = []
    for sub in (b"G42", b"G55", b"G41 G56\nM98 P77", None, b"G42"):
        if sub is None:
            del files.files["/shop/jobs/1234.nc"]
        else:
            files.files["/shop/jobs/1234.nc"] = b"O1234\n" + sub + b"\nM99\n"
        assert looked.look_again(analysis.calls)
        analysis.called_again()
        now = told(analysis)
        assert now == told(Analysis(BODY, Setup(), folder_library(files)))
        seen.append(len(now[1]))
    # Where the program has been deleted it is missing.
    assert seen == [1, 0, 0, 1, 1]
    # What a program calls that is called itself is called by the one at the start.
    files.files["/shop/jobs/1234.nc"] = b"O1234\nM98 P77\nM99\n"
    assert looked.look_again(analysis.calls)
    analysis.called_again()
    told(analysis)
    assert analysis.calls == {1234, 77}
    files.files["/shop/jobs/77"] = b"G42\nM99\n"
    assert looked.look_again(analysis.calls)
    analysis.called_again()
    assert len(told(analysis)[1]) == 1
