"""The pages of the rules, which are their docstrings: one by one, as a table, and all of them as one document."""

from __future__ import annotations

import re
from inspect import cleandoc
from textwrap import dedent

from waywright.rules.model import SEVERITIES, Severity
from waywright.rules.registry import all_modules

CODE_SECTIONS = frozenset({"Example", "Instead"})
FILE_SECTION = "Machine file"
"""The machine file of a page's Example and Instead, on pages of rules that need one."""

_SECTION = re.compile(r"^(\S.*)\n(?=    )", re.MULTILINE)


def pages() -> dict[str, str]:
    """The page of each rule by the rule's name, in the order of the names."""
    return {name: cleandoc(module.__doc__ or "") for name, module in sorted(all_modules().items())}


def title(page: str) -> str:
    return page.partition("\n")[0]


def sections(page: str) -> dict[str, str]:
    _, *parts = _SECTION.split(page)
    return {name: dedent(text).strip("\n") + "\n" for name, text in zip(parts[::2], parts[1::2], strict=True)}


def severities(page: str) -> tuple[Severity, ...]:
    """How grave the rule's findings can be, the gravest first: the severities that "What it reports" names."""
    told = set(re.findall(r"[a-z]+", sections(page).get("What it reports", "").lower()))
    return tuple(severity for severity in SEVERITIES if severity in told)


def table(links: str = "") -> str:
    """All rules in one line each, as Markdown. links: the document that holds the pages, "" for the same one."""
    lines = ["| rule | severity | finds |", "|---|---|---|"]
    for name, page in pages().items():
        lines.append(f"| [{name}]({links}#{name}) | {', '.join(severities(page))} | {_cell(title(page))} |")
    return "\n".join(lines) + "\n"


def document() -> str:
    """The table and all pages, as Markdown."""
    parts = [_HEAD, table(), *(_rendered(name, page) for name, page in pages().items())]
    return "\n".join(parts)


_HEAD = """\
<!-- Written by `pytest --update-expected` from the docstrings in server/waywright/rules/trace/ and motion/. -->

# The rules

What waywright looks for. The severity is the one a finding has where the machine file does not set another for the
rule, and it can depend on the case; the page says when.
"""


def _rendered(name: str, page: str) -> str:
    lines = [f"## {name}\n", f"{title(page)}\n"]
    for section, text in sections(page).items():
        lines.append(f"### {section}\n")
        if section in CODE_SECTIONS:
            lines.append(f"```\n{text}```\n")
        elif section == FILE_SECTION:
            lines.append(f"```toml\n{text}```\n")
        else:
            lines.append(text)
    return "\n".join(lines)


def _cell(text: str) -> str:
    return text.replace("|", r"\|")
