"""An allowance that allows nothing.

What it reports
    Hint: a comment `(WAYWRIGHT ALLOW rule-name)` though that rule reports nothing on its block, or on the next one
    where the comment stands alone; with IN FILE, nothing anywhere in the text.
Why it matters
    What it once allowed has been put right, or the name is misspelt. Left standing, it would hide the next slip.
Example
    T0101
    (WAYWRIGHT ALLOW return-without-axes)
    G28 U0.
    M30
Instead
    T0101
    G28 U0.
    M30
Remedy and its proof
    None is offered yet.
When it stays silent
    Where the rule would report something there, at whatever severity.
Source
    None: a convention of this project.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.rules.model import Finding, Rule, View


def check(view: View) -> Iterator[Finding]:
    """Never asked: whether an allowance is of use shows only when all findings are known (analysis/engine.py)."""
    yield from ()


def sentence(name: str, known: bool, in_file: bool) -> str:
    if not known:
        return f"No rule is called {name}, so this allows nothing."
    return f"{name} reports nothing {'in this text' if in_file else 'here'}, so this allows nothing."


RULE = Rule("useless-allowance", 0, check, sentence)
