"""What of each code system is covered, as a page: the codes, what is known of each, and what is not understood."""

from __future__ import annotations

from enum import StrEnum

from waywright.codes.model import Action, Code, Group, System
from waywright.codes.tables import table


class Known(StrEnum):
    """How far the trace goes along with a code."""

    FOLLOWED = "followed"
    LOST = "position unknown afterwards"
    PASSED = "read and passed over"


_OF_ACTION: dict[Action, tuple[Known, str]] = {
    Action.RAPID: (Known.FOLLOWED, ""),
    Action.FEED: (Known.FOLLOWED, "a chamfer or a corner at its end is not"),
    Action.ARC: (Known.FOLLOWED, "from its start to its end; the bulge between them is not"),
    Action.THREAD: (Known.FOLLOWED, ""),
    Action.SKIP: (Known.LOST, "of the axes that it names"),
    Action.DWELL: (Known.FOLLOWED, "nothing moves"),
    Action.DATA: (Known.LOST, "of the axes whose work offset L2 writes; after any other L in every work frame"),
    Action.CHECK: (Known.FOLLOWED, ""),
    Action.RETURN: (Known.FOLLOWED, "without axis words as the machine file says"),
    Action.FRAME: (Known.FOLLOWED, "the frame and the clamp"),
    Action.SHIFT: (Known.FOLLOWED, ""),
    Action.MACHINE: (Known.FOLLOWED, ""),
    Action.CALL: (Known.LOST, "of every axis, and every mode, where the called program is not followed"),
    Action.MODAL_CALL: (Known.FOLLOWED, "after each move under it every position is unknown"),
    Action.PROFILE_CYCLE: (Known.FOLLOWED, "to its end at the start point, past its profile; its passes are not"),
    Action.FINISH_CYCLE: (Known.FOLLOWED, "to its end at the start point; its passes are not"),
    Action.PECK_CYCLE: (Known.FOLLOWED, "to its end at the start point; its pecks are not"),
    Action.THREAD_CYCLE: (Known.FOLLOWED, "to its end at the start point; its passes are not"),
    Action.ONE_PASS_CYCLE: (Known.FOLLOWED, "to its end at the start point, modal repeats too"),
    Action.STOP: (Known.FOLLOWED, ""),
    Action.END: (Known.FOLLOWED, ""),
    Action.LEAVE: (Known.FOLLOWED, "with P as a jump"),
}

_OF_GROUP: dict[Group, tuple[Known, str]] = {
    # Of these two the active code is shown, and nothing else depends on it.
    Group.PLANE: (Known.PASSED, ""),
    Group.FEED: (Known.PASSED, ""),
    Group.UNITS: (Known.FOLLOWED, "as a mode; a change to the other unit leaves no length known"),
    Group.COMPENSATION: (Known.FOLLOWED, "as a mode; positions stay those of the imaginary tool tip"),
}


def knowledge(code: Code, system: System) -> tuple[Known, str]:
    """How far the trace goes along with a code, and a remark to it, "" where there is none."""
    if code.action is Action.DRILLING_CYCLE:
        end = "to the start level" if system == "A" else "to the start level or to the R level, as G98 and G99 say"
        return Known.FOLLOWED, end
    if code.action is not Action.MODE:
        return _OF_ACTION[code.action]
    return _OF_GROUP.get(code.group, (Known.FOLLOWED, "as a mode"))


NOT_UNDERSTOOD = """\
- **G codes that are not in these tables**, among them those of mirror image, of polar and of cylindrical interpolation,
  of polygon turning and of spindles that turn together, whose numbers differ from machine to machine. After one of
  these no coordinate of the work frame is known until the axis is driven to a place again, and the motion code is not
  known either; `unknown-code` tells of it. The machine file can say of a code that it does nothing.
- **M codes that are not in these tables.** Each machine has its own. They are passed over as far as positions go, and
  count as an event that no remedy moves anything across.
- **What lies between two ends**: the passes and pecks of a cycle, the bulge of an arc, chamfers and corners, the bent
  path of a rapid. Only `waywright time` works them out, and says where it cannot; no rule looks at them. The path that
  nose radius compensation really takes is not worked out at all.
- **Where a drilling cycle ends** along X by way of its R level: some controls count R as a radius and others as a
  diameter. In systems B and C also before the first G98 or G99, unless the R level is the start level.
- **Two paths of one machine**: each text is read by itself, and waiting codes are M codes like any other.
"""


def document() -> str:
    """The whole page, as Markdown."""
    return "\n".join(
        [
            _HEAD,
            *(_section(f"Code system {system}", system, "G") for system in ("A", "B", "C")),
            _section("M codes of all three", "A", "M"),
            "## What is not understood\n",
            NOT_UNDERSTOOD,
        ]
    )


_HEAD = """\
<!-- Written by `pytest --update-expected` from server/waywright/codes/ and server/waywright/rules/codes_page.py. -->

# The codes

What waywright knows of the codes of a turning control: from memory and common practice, no source. Which of the three
systems the control is set to stands in the machine file (`code_system`) or is said with `--code-system`.

*followed*: what the code does to modes, frames and positions is worked out. *position unknown afterwards*: the code is
known, and so is that nothing can be said of where the tool stands behind it. *read and passed over*: the code is shown
as active, and nothing else depends on it.
"""


def _section(heading: str, system: System, letter: str) -> str:
    lines = [f"## {heading}\n", "| code | what it is | modal group | waywright |", "|---|---|---|---|"]
    codes = (code for code in table(system).values() if code.name[0] == letter)
    for code in sorted(codes, key=lambda code: float(code.name[1:])):
        known, remark = knowledge(code, system)
        group = "in its block only" if code.group is Group.ONCE else str(code.group)
        lines.append(f"| {code.name} | {code.title} | {group} | {known}{': ' * bool(remark)}{remark} |")
    return "\n".join(lines) + "\n"
