"""A cut and an end in one block: the short way and the long one agree behind it."""

from __future__ import annotations

from fixtures import analysed

from waywright.meaning.ways import pass_by, through
from waywright_grammar.reader import read_block


def test_the_short_way_agrees_behind_a_cut_that_ends_the_program() -> None:
    # G70 M30 in one block leaves a cut in the past of a way that has ended; `through` forgets it at the next block and
    # `pass_by` does not. (test_the_short_way_agrees_with_the_long_one finds it with more examples.)
    ways = analysed("G70 M30\n").ways_after(0)
    block = read_block("G54\n")
    passed = pass_by(ways, block)
    assert passed is None or passed[0] == through(ways, block)[0]
