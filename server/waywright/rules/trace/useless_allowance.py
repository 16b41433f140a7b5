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
    The comment is taken out, and its line with it if nothing else is there. Proven where the rule is known: a comment
    does nothing. A hint is never applied unless asked for. Not proven of a name that no rule has: another one may have
    been meant.
When it stays silent
    Where the rule would report something there, at whatever severity. On a rule that reads what a run costs, like
    home-is-too-far: its findings come later than the others, and where no times are known not at all.
Source
    None: a convention of this project.
"""

from __future__ import annotations

from collections.abc import Iterator

from waywright.edits.model import Edit, Intent, Remedy, Site
from waywright.rules.model import Finding, Rule, View
from waywright_grammar.reader import without_line_end


def check(view: View) -> Iterator[Finding]:
    """Never asked: whether an allowance is of use shows only when all findings are known (analysis/engine.py)."""
    yield from ()


def remedies(view: View, finding: Finding, site: Site) -> Iterator[Remedy]:
    text = site.block.text
    content = without_line_end(text)
    before, behind = content[: finding.start], content[finding.end :]
    known = bool(finding.arguments[1])
    if not (before.strip(" \t/0123456789") or behind.strip()):
        # The line end goes too.
        edit = Edit(site.line, 0, len(text), "")
    elif behind.strip():
        edit = Edit(site.line, finding.start, len(content) - len(behind.lstrip(" \t")), "")
    else:
        edit = Edit(site.line, len(before.rstrip(" \t")), len(content), "")
    yield Remedy("Take the allowance out", (edit,), INTENDS, "" if known else MISSPELT)


INTENDS: frozenset[Intent] = frozenset({"allowance"})
MISSPELT = "no rule has this name, so another one may have been meant"


def sentence(name: str, known: bool, in_file: bool) -> str:
    if not known:
        return f"No rule is called {name}, so this allows nothing."
    return f"{name} reports nothing {'in this text' if in_file else 'here'}, so this allows nothing."


RULE = Rule("useless-allowance", 0, check, sentence, remedies)
