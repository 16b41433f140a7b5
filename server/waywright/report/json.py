"""Results as JSON, one document on one line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec

from .findings import Program

if TYPE_CHECKING:
    from waywright.features.where import Positions, Where

VERSION = 1


def check(programs: list[Program]) -> str:
    return _text({"version": VERSION, "programs": programs})


def where(explained: Where) -> str:
    """Part of what is known of a line: what other programs may build on. The rest is text for people."""
    return _text(
        {
            "version": VERSION,
            "line": explained.line,
            "text": explained.text,
            "unit": explained.unit,
            "assumed": explained.assumed,
            "words": [
                {
                    "text": word.text,
                    "role": word.role,
                    "reading": word.reading,
                    "frame": word.frame,
                    "machine": word.machine,
                    **({"value": word.value} if word.value else {}),
                }
                for word in explained.words
            ],
            "modes": explained.modes,
            **({"called_from": explained.called_from} if explained.called_from else {}),
            "position": {"before": _positions(explained.before), "after": _positions(explained.after)},
        }
    )


def _positions(positions: Positions) -> dict[str, dict[str, float | None]]:
    return {"work": positions.work, "machine": positions.machine}


def _text(document: object) -> str:
    return msgspec.json.encode(document).decode() + "\n"
