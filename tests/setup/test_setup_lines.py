"""Where keys stand. The TOML reader of the standard library is the measure of which keys there are."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from waywright.setup.lines import Path, key_lines, line_of

TEXT = """\
# [no.table]
top = 1
[axes.X]
travel = [ # 3.0, [
  -1.5,
  [2, {a = 1, b.c = [{}]}],
]
"two words".'dotted "key"' . bare = "a = [b] # no comment"
[axes]
Z = { home = 0.5, references = { 2 = -1 } }

[[tools]]
text = \"\"\"
[no.table]
a = ""\\"\\"\"\"\"\"\"
kind = 1
[[tools]]
raw = '''
[[tools]]
''a'''''
[tools.more]
x = 1
[[tools.many]]
[[tools.many]]
y = 1979-05-27T07:32:00.5
[[tools]]
[tools.more]
x."\\u0041" = 2
"""


def paths(value: object, path: Path = ()) -> Iterator[Path]:
    if path:
        yield path
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from paths(inner, (*path, key))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from paths(inner, (*path, number))


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_the_line_of_each_key(end: str) -> None:
    lines = key_lines(TEXT.replace("\n", end))

    assert lines.keys() == set(paths(tomllib.loads(TEXT)))
    assert lines["top",] == 2
    assert lines["axes",] == lines["axes", "X"] == 3
    assert lines["axes", "X", "travel"] == 4
    assert lines["axes", "X", "travel", 0] == 5
    assert lines["axes", "X", "travel", 1, 1, "b", "c", 0] == 6
    assert lines["axes", "X", "two words", 'dotted "key"', "bare"] == 8
    assert lines["axes", "Z", "references", "2"] == 10
    assert lines["tools", 0] == 12
    assert lines["tools", 0, "kind"] == 16
    assert lines["tools", 1] == 17
    assert lines["tools", 1, "more", "x"] == 22
    assert lines["tools", 1, "many", 1, "y"] == 25
    assert lines["tools", 2, "more", "x", "A"] == 28


def test_a_key_that_is_not_there_goes_by_what_it_would_stand_in() -> None:
    lines = key_lines("\n[axes.X]\nhome = 1\n")

    assert line_of(lines, ("axes", "X", "travel", 1)) == 2
    assert line_of(lines, ("axes", "X", "home", "deeper")) == 3
    assert line_of(lines, ("tools", 3)) == 1
    assert line_of(lines, ()) == 1


def test_deep_nesting_costs_no_more_than_its_text() -> None:
    dotted = ".".join("a" * 3000)
    assert max(len(path) for path in key_lines(f"{dotted} = 1")) == 8
    assert max(len(path) for path in key_lines("a = " + "[" * 3000)) == 8


PIECES = st.sampled_from(
    [
        "a",
        "b.c",
        '"a.b"',
        "'['",
        " = ",
        "1",
        "-1.5",
        "[",
        "]",
        "[[",
        "]]",
        "{",
        "}",
        ",",
        "\n",
        " ",
        "# [x]",
        '"""',
        "'''",
    ]
)
KEYS = st.sampled_from(["a", "b", "c.d", '"a"', "'x y'", "a.b.c", '"\\""'])
SCALARS = st.sampled_from(["1", "2.5", "true", '"]"', "'},'", '"""a\n[b]"""', "'''\n\n'''", "07:32:00", '""'])
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda each: "[" + ",\n# x = [\n".join(each) + "]"),
        st.lists(st.tuples(KEYS, inner), max_size=2).map(
            lambda each: "{" + ", ".join(f"{k} = {v}" for k, v in each) + "}"
        ),
    ),
    max_leaves=6,
)
STATEMENTS = st.one_of(
    st.tuples(KEYS, VALUES).map(lambda each: f"{each[0]} = {each[1]} # a = 1"),
    KEYS.map(lambda key: f"[{key}]"),
    KEYS.map(lambda key: f" [[ {key} ]]"),
)


@settings(max_examples=400, deadline=None)
@given(st.lists(STATEMENTS, max_size=6).map("\n".join))
def test_each_key_of_any_toml_has_a_line(text: str) -> None:
    try:
        tree = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        assume(False)
    assert key_lines(text).keys() == {path for path in paths(tree) if len(path) <= 8}


@settings(max_examples=300, deadline=None)
@given(st.lists(PIECES).map("".join) | st.text())
def test_other_text_does_no_harm(text: str) -> None:
    count = text.count("\n") + 1
    assert all(1 <= line <= count for line in key_lines(text).values())
