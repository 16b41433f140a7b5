"""What macro expressions give: numbers, empty, not known, and what a control would stumble over."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waywright.meaning.dialect import dialect_of
from waywright.meaning.expressions import (
    EMPTY,
    LARGEST,
    Arithmetic,
    Trouble,
    Value,
    evaluate,
    millionths,
    truth,
    variable_number,
)
from waywright.setup.load import load
from waywright_grammar.blocks import SCALE, Assign, Binary, Expression, Number, Unary, Variable
from waywright_grammar.reader import read_block

COMMON = Arithmetic()
NOT_KNOWN = Arithmetic(fix=None, fup=None, logic=None, round_in_words=None, arc_angles=None)

# #1 and #2 hold numbers, #3 the number of #1, #7 is not known, #8 and #9 are empty.
VARIABLES: dict[int, Value] = {1: 5.0, 2: -2.5, 3: 1.0, 7: None}


def read(number: int) -> Value:
    return VARIABLES.get(number, EMPTY)


def parsed(text: str) -> Expression:
    nodes = read_block(f"#1={text}").nodes
    assert nodes is not None, text
    assert nodes.faults == (), text
    (statement,) = nodes.statements
    assert isinstance(statement, Assign)
    return statement.value


def worked_out(text: str, arithmetic: Arithmetic = COMMON, in_word: bool = False) -> tuple[Value, list[Trouble]]:
    troubles: list[Trouble] = []
    return evaluate(parsed(text), read, arithmetic, troubles, in_word), troubles


def value(text: str, arithmetic: Arithmetic = COMMON, in_word: bool = False) -> Value:
    found, troubles = worked_out(text, arithmetic, in_word)
    assert troubles == [], text
    return found


def unset(number: int | None) -> Trouble:
    return Trouble("unset-variable", number)


DIVISION, NO_NUMBER = Trouble("division-by-zero"), Trouble("no-number")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("5", 5),
        ("-.5", -0.5),
        ("1+2*3-4/5", 6.2),
        ("[1+2]*3", 9),
        ("8/4/2", 1),
        ("8-4-2", 2),
        ("2*3**2", 18),
        ("2**3**2", 64),
        ("-2**2", 4),
        ("1--3", 4),
        ("7MOD4*2", 6),
        ("#1+1GT#2-1", 1),
        ("2+3EQ5", 1),
        ("[#1EQ5]AND[#2LT0]", 1),
        ("[#1EQ5]AND[#2GT0]", 0),
        ("[#1EQ4]OR[#2LT0]", 1),
        ("[#1EQ5]XOR[#2LT0]", 0),
        # AND beside *, OR and XOR beside +: common practice, no source.
        ("1OR1AND0", 1),
        ("[1OR1]AND0", 0),
        ("1+2AND3", 3),
        ("#1*2", 10),
        ("-#1", -5),
        ("-[#1+#2]", -2.5),
        ("##3", 5),
        ("#[#3+1]", -2.5),
        ("#[2.00005]", -2.5),
        ("SQRT[3**2+4**2]", 5),
        ("ABS[#2]", 2.5),
        ("SIN[30]", 0.5),
        ("COS[60]", 0.5),
        ("TAN[45]", 1),
        ("ASIN[1]", 90),
        ("ACOS[-1]", 180),
        ("ATAN[1]", 45),
        ("ATAN[-1]", -45),
        ("ATAN[1]/[1]", 45),
        ("ATAN[1]/[-1]", 135),
        ("ATAN[0]/[-1]", 180),
        ("EXP[LN[7]]", 7),
        ("ROUND[2.5]", 3),
        ("ROUND[-2.5]", -3),
        ("ROUND[2.49]", 2),
        ("FIX[2.9]", 2),
        ("FIX[-2.9]", -2),
        ("FUP[2.1]", 3),
        ("FUP[-2.1]", -3),
        ("BCD[25]", 37),
        ("BIN[37]", 25),
        ("15MOD4.", 3),
        ("6AND3", 2),
        ("6OR3", 7),
        ("6XOR3", 5),
    ],
)
def test_values(text: str, expected: float) -> None:
    assert value(text) == pytest.approx(expected, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    "text",
    ["[.1+.1+.1]EQ.3", "[1/3*3]GE1", "[.1*3-.3]LE0", "FIX[.1*3*10]EQ3", "FUP[.1*3*10]EQ3", "ROUND[1.005*100]EQ101"],
)
def test_decimals_count_as_people_count(text: str) -> None:
    assert value(text) == 1


def test_a_tenth_added_many_times() -> None:
    held = 0.0
    for _ in range(10_000):
        held += 0.1
    assert evaluate(parsed("#1EQ1000"), lambda _: held, COMMON) == 1
    assert evaluate(parsed("#1LT1000"), lambda _: held, COMMON) == 0
    assert evaluate(parsed("FIX[#1]"), lambda _: held, COMMON) == 1000


def test_a_thousandth_is_a_difference() -> None:
    assert value("1000.001GT1000") == 1
    assert value("1000.001EQ1000") == 0


@pytest.mark.parametrize(
    ("text", "setting", "one", "other"),
    [
        ("FIX[-1.5]", "fix", ("toward zero", -1), ("down", -2)),
        ("FUP[-1.5]", "fup", ("away from zero", -2), ("up", -1)),
        ("2AND2", "logic", ("bit by bit", 2), ("logical", 1)),
        ("1AND2", "logic", ("bit by bit", 0), ("logical", 1)),
        ("ATAN[-1]/[1]", "arc_angles", ("0 to 360", 315), ("-180 to 180", -45)),
        ("ASIN[-.5]", "arc_angles", ("0 to 360", 330), ("-180 to 180", -30)),
    ],
)
def test_where_controls_differ(text: str, setting: str, one: tuple[str, float], other: tuple[str, float]) -> None:
    for choice, expected in (one, other):
        arithmetic = dialect_of(load(f'[macros]\n{setting} = "{choice}"\n', "lathe.toml")).arithmetic
        assert value(text, arithmetic) == pytest.approx(expected)
    assert value(text, NOT_KNOWN) is None


@pytest.mark.parametrize("text", ["FIX[1.5]", "FIX[-2]", "FUP[1.5]", "FUP[-2]", "1AND1", "0OR1", "ASIN[.5]", "ASIN[0]"])
def test_where_they_do_not_differ_it_need_not_be_known(text: str) -> None:
    assert value(text, NOT_KNOWN) == value(text) is not None


def test_what_the_machine_file_says_wrongly_is_not_known() -> None:
    arithmetic = dialect_of(load('[macros]\nfix = "sideways"\nlogic = "logical"\n', "lathe.toml")).arithmetic
    assert arithmetic == Arithmetic(fix=None, logic="logical")
    assert dialect_of(load("macros = 3\n", "lathe.toml")).arithmetic == NOT_KNOWN
    assert dialect_of(load("", "lathe.toml")).arithmetic == COMMON


@pytest.mark.parametrize(
    ("text", "common", "whole", "not_known"),
    [
        ("ROUND[1.234]", 1.234, 1, None),
        ("ROUND[1.2346]", None, 1, None),
        ("ROUND[3.]", 3, 3, 3),
        # Only what gives the word its number: the number of a variable is a number like any other.
        ("#[ROUND[1.2]]", 5, 5, 5),
    ],
)
def test_round_in_the_number_of_a_word(
    text: str, common: float | None, whole: float | None, not_known: float | None
) -> None:
    choices = (COMMON, Arithmetic(round_in_words="whole number"), NOT_KNOWN)
    assert tuple(value(text, each, in_word=True) for each in choices) == (common, whole, not_known)


# ---- empty -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["#9", "#0", "-#9", "+#9", "-[-#9]", "#[4*2]"])
def test_an_empty_variable_alone_is_empty(text: str) -> None:
    assert value(text) is EMPTY


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("#9EQ#0", 1),
        ("#9NE#0", 0),
        ("#9EQ0", 0),
        ("#9NE0", 1),
        ("#1EQ#0", 0),
        ("#1NE#0", 1),
        ("#0EQ#9", 1),
        # #0 is written on purpose.
        ("#1GT#0", 1),
        ("#1+#0", 5),
    ],
)
def test_to_ask_whether_a_variable_is_empty_is_no_trouble(text: str, expected: float) -> None:
    assert value(text) == expected


@pytest.mark.parametrize(
    ("text", "expected", "numbers"),
    [
        ("#9+2", 2, [9]),
        ("2-#9", 2, [9]),
        ("#8*#9", 0, [8, 9]),
        ("-#9+2", 2, [9]),
        ("SIN[#9]", 0, [9]),
        ("ABS[-#9]", 0, [9]),
        ("#9GE0", 1, [9]),
        ("#9LT1", 1, [9]),
        ("#9OR1", 1, [9]),
        ("#7+#9", None, [9]),
        ("#[#3+8]+1", 1, [9]),
        ("##9", None, [9]),
        ("[#9+1]EQ1", 1, [9]),
        ("ATAN[#9]/[1]", 0, [9]),
    ],
)
def test_an_empty_operand_counts_as_0_and_is_told(text: str, expected: float | None, numbers: list[int]) -> None:
    assert worked_out(text) == (expected, [unset(number) for number in numbers])


def test_troubles_need_not_be_asked_for() -> None:
    assert evaluate(parsed("#9/2+SQRT[1]"), read, COMMON) == 1
    assert evaluate(parsed("1/0"), read, COMMON) is None


# ---- not known -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "#7",
        "-#7",
        "#7+1",
        "0*#7",
        "#7EQ#0",
        "#9EQ#7",
        "SIN[#7]",
        "##7",
        "#[1.5]",
        "#[-1]",
        "7MOD2.5",
        "-7MOD4",
        "7MOD-4",
        "TAN[90]",
        "ATAN[0]/[0]",
        "1.5AND1",
        "-1AND1",
        "BIN[26]",
        "BIN[-1]",
        "BCD[1.5]",
        "BCD[100000000]",
        "1/[.1*3-.3]",
        "EXP[1000]",
        "10**15",
        "10**400",
        "999999999999999*999999999999999",
    ],
)
def test_not_known(text: str) -> None:
    assert value(text) is None


@pytest.mark.parametrize(
    ("text", "troubles"),
    [
        ("1/0", [DIVISION]),
        ("#7/0", [DIVISION]),
        ("1MOD0", [DIVISION]),
        ("1/#9", [unset(9), DIVISION]),
        ("0**-1", [DIVISION]),
        ("SQRT[-1]", [NO_NUMBER]),
        ("LN[0]", [NO_NUMBER]),
        ("LN[-1]", [NO_NUMBER]),
        ("ASIN[2]", [NO_NUMBER]),
        ("ACOS[-1.1]", [NO_NUMBER]),
        ("#2**.5", [NO_NUMBER]),
        ("1/0+SQRT[-1]", [DIVISION, NO_NUMBER]),
    ],
)
def test_what_a_control_stumbles_over(text: str, troubles: list[Trouble]) -> None:
    assert worked_out(text) == (None, troubles)


@pytest.mark.parametrize("text", ["SQRT[.3-.1*3]", "ASIN[.1*3/.3]", "ACOS[.1*3/.3]"])
def test_a_hair_too_far_is_no_trouble(text: str) -> None:
    assert value(text) is not None


@pytest.mark.parametrize(
    ("held", "expected"), [(1.0, True), (0.0, False), (-0.5, True), (1e-12, False), (EMPTY, False), (None, None)]
)
def test_truth(held: Value, expected: bool | None) -> None:
    assert truth(held) is expected


@pytest.mark.parametrize(
    ("number", "expected"),
    [
        (0.1 + 0.2, 300_000),
        (-1.5, -1_500_000),
        (1e-7, 0),
        (-0.0, 0),
        (2.0000005, 2_000_001),
        (1e9, None),
        (-1e300, None),
        (math.inf, None),
        (math.nan, None),
    ],
)
def test_millionths(number: float, expected: int | None) -> None:
    assert millionths(number) == expected


def test_the_number_of_a_variable() -> None:
    def number(text: str) -> int | None:
        variable = parsed(text)
        assert isinstance(variable, Variable)
        return variable_number(variable, read, COMMON)

    assert [number(text) for text in ("#0", "#100", "##1", "#[#1*2]", "##7", "##9", "#[.5]")] == [
        0,
        100,
        5,
        10,
        None,
        None,
        None,
    ]


# ---- any tree --------------------------------------------------------------------------------------------------

NUMBERS = st.integers(-4000, 4000).map(lambda quarters: Number(quarters * SCALE // 4))
BINARY = ["+", "-", "*", "/", "MOD", "**", "EQ", "NE", "GT", "GE", "LT", "LE", "AND", "OR", "XOR", "ATAN", "NONE"]
UNARY = ["+", "-", "SIN", "COS", "TAN", "ASIN", "ACOS", "ATAN", "SQRT", "ABS", "ROUND", "FIX", "FUP", "LN", "EXP"]
UNARY += ["BIN", "BCD", "NONE"]
VARIABLE = st.integers(0, 9).map(lambda number: Variable(Number(number * SCALE)))


def trees(leaves: st.SearchStrategy[Expression], binary: list[str], unary: list[str]) -> st.SearchStrategy[Expression]:
    return st.recursive(
        leaves,
        lambda inner: st.one_of(
            st.builds(Binary, st.sampled_from(binary), inner, inner),
            st.builds(Unary, st.sampled_from(unary), inner),
            st.builds(Variable, inner) if leaves is ANY_LEAF else st.builds(Unary, st.just("-"), inner),
        ),
        max_leaves=12,
    )


ANY_LEAF: st.SearchStrategy[Expression] = st.one_of(NUMBERS, VARIABLE, st.builds(Number, st.integers()))


@settings(deadline=None, max_examples=400)
@given(
    trees(ANY_LEAF, BINARY, UNARY),
    st.sampled_from([COMMON, NOT_KNOWN, Arithmetic("down", "up", "logical", "whole number", "0 to 360")]),
    st.booleans(),
)
def test_no_tree_makes_it_fail(tree: Expression, arithmetic: Arithmetic, in_word: bool) -> None:
    troubles: list[Trouble] = []
    found = evaluate(tree, read, arithmetic, troubles, in_word)
    assert found is None or found is EMPTY or abs(found) <= LARGEST
    assert found == evaluate(tree, read, arithmetic, None, in_word)


def exactly(tree: Expression) -> Fraction | None:
    """The second method: fractions, without any tolerance. None where there is no number."""
    match tree:
        case Number(number):
            return Fraction(number, SCALE)
        case Unary(operator, operand):
            inner = exactly(operand)
            if inner is None:
                return None
            below, above = Fraction(math.floor(inner)), Fraction(math.ceil(inner))
            results = {
                "+": inner,
                "-": -inner,
                "ABS": abs(inner),
                "FIX": below if inner > 0 else above,
                "FUP": above if inner > 0 else below,
                "ROUND": (1 if inner > 0 else -1) * Fraction(math.floor(abs(inner) + Fraction(1, 2))),
            }
            return results[operator]
        case Binary(operator, left, right):
            one, other = exactly(left), exactly(right)
            if one is None or other is None:
                return None
            if operator == "/":
                return one / other if other else None
            if operator == "MOD":
                fits = one.denominator == other.denominator == 1 and one >= 0 and other > 0
                return one % other if fits else None
            results = {
                "+": one + other,
                "-": one - other,
                "*": one * other,
                "EQ": Fraction(one == other),
                "NE": Fraction(one != other),
                "GT": Fraction(one > other),
                "GE": Fraction(one >= other),
                "LT": Fraction(one < other),
                "LE": Fraction(one <= other),
            }
            return results[operator]
    raise AssertionError(tree)


# Whole and quarter numbers of few operations: two different values of such trees lie farther apart than the tolerance.
SMALL = st.integers(-40, 40).map(lambda quarters: Number(quarters * SCALE // 4))


@settings(deadline=None, max_examples=600)
@given(
    st.recursive(
        SMALL,
        lambda inner: st.one_of(
            st.builds(
                Binary, st.sampled_from(["+", "-", "*", "/", "MOD", "EQ", "NE", "GT", "GE", "LT", "LE"]), inner, inner
            ),
            st.builds(Unary, st.sampled_from(["+", "-", "ABS", "FIX", "FUP", "ROUND"]), inner),
        ),
        max_leaves=5,
    )
)
def test_any_tree_agrees_with_fractions(tree: Expression) -> None:
    exact, found = exactly(tree), evaluate(tree, read, COMMON)
    if exact is None:
        assert found is None
    else:
        assert found == pytest.approx(float(exact), rel=1e-9, abs=1e-9)


@settings(deadline=None, max_examples=200)
@given(
    st.recursive(
        st.integers(1, 9).map(str),
        lambda inner: st.one_of(
            st.tuples(inner, st.sampled_from("+-*/"), inner).map("".join),
            inner.map(lambda text: f"[{text}]"),
        ),
        max_leaves=8,
    )
)
def test_the_text_agrees_with_python(text: str) -> None:
    try:
        expected = eval(text.replace("[", "(").replace("]", ")"))
    except ZeroDivisionError:
        return
    found = evaluate(parsed(text), read, COMMON)
    assert found is None or found == pytest.approx(expected, rel=1e-9, abs=1e-9)


@settings(deadline=None)
@given(st.floats(-720, 720), st.floats(0.01, 50))
def test_functions_agree_with_math(angle: float, positive: float) -> None:
    held: dict[int, Value] = {1: angle, 2: positive}

    def function(text: str) -> Value:
        return evaluate(parsed(text), held.__getitem__, COMMON)

    assert function("SIN[#1]**2+COS[#1]**2") == pytest.approx(1)
    assert function("SQRT[#2]") == pytest.approx(positive**0.5)
    assert function("LN[#2]") == pytest.approx(math.log(positive))
    assert function("EXP[#2]") in (None, pytest.approx(math.exp(positive)))
    assert function("ATAN[#2]/[#1]") == pytest.approx(math.degrees(math.atan2(positive, angle)))
