"""`waywright rules`: what is checked, and the page of each rule."""

from __future__ import annotations

from typing import Annotated

import typer

from .options import CLEAN, COULD_NOT_RUN, command, complain


@command
def rules(
    name: Annotated[
        str | None, typer.Argument(metavar="[NAME]", show_default=False, help="The rule whose page to show.")
    ] = None,
) -> int:
    """List the rules, or show the page of one: what it reports, why it matters, an example, when it stays silent."""
    from waywright.rules.pages import pages, title

    found = pages()
    if name is None:
        widest = max(map(len, found))
        for rule, page in found.items():
            print(f"{rule:{widest}}  {title(page)}")
        return CLEAN
    if name not in found:
        from difflib import get_close_matches

        near = get_close_matches(name, found, 1)
        complain(
            f"no rule named {name!r}" + (f"; did you mean {near[0]}?" if near else "; `waywright rules` lists all")
        )
        return COULD_NOT_RUN
    print(f"{name}\n\n{found[name]}")
    return CLEAN
