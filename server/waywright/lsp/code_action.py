"""textDocument/codeAction: the remedies of a range's findings, and in one edit all that need no question.

Which findings are meant follows from the range alone: clients send columns of their own making with the diagnostics.
"""

from __future__ import annotations

from collections.abc import Coroutine, Generator, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from lsprotocol import types

from .capabilities import FIX_ALL
from .documents import Snapshot, check_current, snapshot, tell_troubles
from .positions import Encoding, content_length, place, to_units
from .publish import diagnostic
from .schedule import in_slices

if TYPE_CHECKING:
    from waywright.edits.model import Remedy
    from waywright.features.fix import Applied
    from waywright.features.remedies import Offer
    from waywright.proof.congruence import Proof

    from .server import Server

MOST_LINES = 100
"""So many lines of a selection are looked at that have a finding with a remedy: nobody reads a longer list."""

MOST_BLOCKS = 10_000
"""In a longer text not all is put right at once: it would keep the editor waiting."""

MOST_TOLD = 10
"""So many remedies of all that were put right are described."""

ANNOTATION = "remedy"


def code_action(
    server: Server, params: types.CodeActionParams
) -> Coroutine[Any, Any, list[types.CodeAction]] | list[types.CodeAction]:
    """The snapshot is taken here, in the order of arrival; what comes next may wait."""
    taken = snapshot(server, params.text_document.uri)
    return [] if taken is None else _actions(server, taken, params)


async def _actions(server: Server, taken: Snapshot, params: types.CodeActionParams) -> list[types.CodeAction]:
    context = params.context
    actions: list[types.CodeAction] = []
    if taken.analysis.tell_callers():
        server.schedule.changed(taken.document)
    await server.schedule.settled(taken.document, partial(check_current, server, taken))
    if not taken.analysis.work(1):  # it was left off because it raised, and most likely has raised here again
        return []
    if kinds := [kind for kind in (QUICK_FIX, REWRITE) if _is_wanted(kind, context)]:
        actions += await _remedies(server, taken, params.range, kinds)
    if _is_wanted(FIX_ALL, context):
        actions += await _all_at_once(server, taken)
    return actions


QUICK_FIX, REWRITE = types.CodeActionKind.QuickFix.value, types.CodeActionKind.RefactorRewrite.value


def _is_wanted(kind: str, context: types.CodeActionContext) -> bool:
    """A kind stands for those below it. What rewrites a whole text is wanted by name only.

    A client that asks by itself, without a kind, wants to know whether there is something to be put right, not whether
    something might be written in another way.
    """
    only = [str(getattr(each, "value", each)) for each in context.only or ()]
    if kind == FIX_ALL or only:
        return any(kind == each or kind.startswith(f"{each}.") or (not each and kind != FIX_ALL) for each in only)
    return kind == QUICK_FIX or context.trigger_kind != types.CodeActionTriggerKind.Automatic


# The remedies of a range


async def _remedies(
    server: Server, taken: Snapshot, where: types.Range, kinds: Sequence[str]
) -> list[types.CodeAction]:
    # Not loaded before the first request: see core.py.
    from waywright.features.remedies import have_remedies, may_be_written_otherwise

    lines = _touched(taken.analysis.document.lines, where, server.client.encoding)
    blocks = taken.analysis.document.blocks
    found = [
        line
        for line in lines
        if ((here := taken.analysis.found[line]) is not None and have_remedies(here.findings))
        or (REWRITE in kinds and line < len(blocks) and may_be_written_otherwise(blocks[line]))
    ]
    if len(found) > MOST_LINES:
        server.protocol.warn(f"of {len(found)} lines with remedies only the first {MOST_LINES} are looked at")
    steps = _of_lines(server, taken, found[:MOST_LINES])
    actions = await in_slices(steps, partial(check_current, server, taken))
    tell_troubles(server, taken.analysis)
    return [action for action in actions if action.kind in kinds]


def _of_lines(server: Server, taken: Snapshot, lines: Sequence[int]) -> Generator[None, None, list[types.CodeAction]]:
    actions: list[types.CodeAction] = []
    for line in lines:
        actions += _of_line(server, taken, server.core.remedies(taken.analysis, line))
        yield
    return actions


def _touched(lines: Sequence[str], where: types.Range, encoding: Encoding) -> range:
    """A selection of whole lines ends before the first character of the next one, which it does not touch."""
    one, other = (place(lines, at.line, at.character, encoding) for at in (where.start, where.end))
    start, end = min(one, other), max(one, other)
    last = end[0] if end[1] or end == start else end[0] - 1
    return range(start[0], min(last + 1, len(lines)))


def _of_line(server: Server, taken: Snapshot, offers: Sequence[Offer]) -> Iterator[types.CodeAction]:
    """What is offered alike for several findings of a line is one action."""
    alike: dict[tuple[Remedy, Proof], list[Offer]] = {}
    for offer in offers:
        alike.setdefault((offer.remedy, offer.proof), []).append(offer)
    for same in alike.values():
        try:
            yield _action(server, taken, same)
        except Exception as error:  # a rule's own wording is at work here, and one rule must not take the others'
            server.protocol.report("wording a finding", error)


def _action(server: Server, taken: Snapshot, offers: Sequence[Offer]) -> types.CodeAction:
    lines, encoding = taken.analysis.document.lines, server.client.encoding
    remedy, proof = offers[0].remedy, offers[0].proof
    findings = [(offer.line, offer.finding) for offer in offers if offer.finding is not None]
    to_be_fixed = any(finding.severity in ("error", "warning") for _, finding in findings)
    edits = [
        types.TextEdit(_range(lines, (edit.line, edit.start), (edit.line, edit.end), encoding), edit.text)
        for edit in remedy.edits
    ]
    annotation = types.ChangeAnnotation(remedy.title, None if proof.proven else True, proof.sentence)
    return types.CodeAction(
        title=f"{remedy.title} ({'proven; clearance not checked' if proof.proven else f'not proven: {proof.because}'})",
        kind=QUICK_FIX if to_be_fixed else REWRITE,
        diagnostics=[diagnostic(finding, line, lines[line], encoding) for line, finding in findings] or None,
        is_preferred=any(offer.preferred for offer in offers) or None,
        edit=_workspace_edit(server, taken, edits, annotation),
    )


# All at once


async def _all_at_once(server: Server, taken: Snapshot) -> list[types.CodeAction]:
    """Worked out on a copy. It is asked for by name, and then often on saving, so it says nothing where it is idle."""
    before = taken.analysis.document.lines
    if len(before) > MOST_BLOCKS:
        server.protocol.warn(
            f"{taken.document.uri} has {len(before)} lines; in more than {MOST_BLOCKS} not all is put right at once"
        )
        return []
    copy = server.core.analyse(taken.analysis.document.text(), taken.document.setup, taken.document.library)
    fixed = await in_slices(server.core.fixing(copy), partial(check_current, server, taken))
    tell_troubles(server, copy)
    if fixed.given_up:
        server.protocol.warn(f"{taken.document.uri} is not put right all at once: {fixed.given_up}")
    if copy.document.lines == before:
        return []
    applied = fixed.applied
    number = "the one proven remedy" if len(applied) == 1 else f"all {len(applied)} proven remedies"
    title = f"Apply {number} (clearance not checked)"
    annotation = types.ChangeAnnotation(title, None, _told(applied))
    edit = _difference(before, copy.document.lines, server.client.encoding)
    return [
        types.CodeAction(
            title,
            FIX_ALL,
            diagnostics=list(_resolved(server, taken, applied)),
            edit=_workspace_edit(server, taken, [edit], annotation),
        )
    ]


def _resolved(server: Server, taken: Snapshot, applied: Sequence[Applied]) -> Iterator[types.Diagnostic]:
    """The diagnostics of the text as it is that the remedies were for."""
    lines, all_found = taken.analysis.document.lines, taken.analysis.found
    done = {(each.line, each.rule) for each in applied}
    for line in sorted({line for line, _ in done}):
        found = all_found[line]
        for finding in found.findings if found is not None else ():
            if (line, finding.rule.name) in done:
                yield diagnostic(finding, line, lines[line], server.client.encoding)


def _told(applied: Sequence[Applied]) -> str:
    told = [f"Line {each.line + 1}: {each.title}. {each.proof}" for each in applied[:MOST_TOLD]]
    more = len(applied) - len(told)
    return "\n".join([*told, f"And {more} more."] if more else told)


def _difference(before: Sequence[str], after: Sequence[str], encoding: Encoding) -> types.TextEdit:
    """One edit from the first line that differs to the last; what lies around it keeps its marks in the editor."""
    most = min(len(before), len(after))
    first = next((at for at in range(most) if before[at] != after[at]), most)
    same = next((at for at in range(most - first) if before[-1 - at] != after[-1 - at]), most - first)
    end = len(before) - same
    text = "".join(after[first : len(after) - same])
    return types.TextEdit(_range(before, (first, 0), (end, 0), encoding), text)


# In the protocol's terms


def _range(lines: Sequence[str], start: tuple[int, int], end: tuple[int, int], encoding: Encoding) -> types.Range:
    return types.Range(_position(lines, start, encoding), _position(lines, end, encoding))


def _position(lines: Sequence[str], at: tuple[int, int], encoding: Encoding) -> types.Position:
    line, column = at
    if line < len(lines) and column > content_length(lines[line]):
        line, column = line + 1, 0  # the line end is part of it, and clients go no further than before that
    if line == len(lines) and lines and content_length(lines[-1]) == len(lines[-1]):
        # Behind a last line without a line end no other line begins.
        line, column = line - 1, len(lines[-1])
    return types.Position(line, to_units(lines[line], column, encoding) if line < len(lines) else column)


def _workspace_edit(
    server: Server, taken: Snapshot, edits: Sequence[types.TextEdit], annotation: types.ChangeAnnotation
) -> types.WorkspaceEdit:
    """With the version and the annotation where the client takes them. Only edits of a version can be annotated."""
    client, uri = server.client, taken.document.uri
    if not client.document_changes:
        return types.WorkspaceEdit(changes={uri: edits})
    document = types.OptionalVersionedTextDocumentIdentifier(uri, taken.version)
    if not client.change_annotations:
        return types.WorkspaceEdit(document_changes=[types.TextDocumentEdit(document, edits)])
    annotated = [types.AnnotatedTextEdit(ANNOTATION, edit.range, edit.new_text) for edit in edits]
    return types.WorkspaceEdit(
        document_changes=[types.TextDocumentEdit(document, annotated)], change_annotations={ANNOTATION: annotation}
    )
