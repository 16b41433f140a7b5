"""What the server announces, and what it leaves out. A test holds both against the protocol's list of methods."""

from __future__ import annotations

from lsprotocol import types

from .client import Client

FIX_ALL = "source.fixAll.waywright"

ACTIONS: tuple[str, ...] = (types.CodeActionKind.QuickFix, types.CodeActionKind.RefactorRewrite, FIX_ALL)
"""The kinds of code actions: remedies of errors and warnings, those of information and hints, all proven ones of the
former at once."""


def capabilities(client: Client) -> types.ServerCapabilities:
    return types.ServerCapabilities(
        position_encoding=client.encoding,
        text_document_sync=types.TextDocumentSyncOptions(
            open_close=True,
            change=types.TextDocumentSyncKind.Incremental,
            save=types.SaveOptions(include_text=False),
        ),
        hover_provider=True,
        # Whether they are shown can be switched while the server runs, so they are announced in any case.
        code_lens_provider=types.CodeLensOptions(resolve_provider=False),
        inlay_hint_provider=types.InlayHintOptions(resolve_provider=False),
        # Kinds may only be named to a client that knows of them.
        code_action_provider=types.CodeActionOptions(ACTIONS) if client.action_literals else True,
    )


LIFECYCLE = (types.INITIALIZE, types.INITIALIZED, types.SHUTDOWN, types.EXIT, types.CANCEL_REQUEST)
"""Understood without being announced."""

LEFT_OUT = {
    types.TEXT_DOCUMENT_COMPLETION: "a program is read and changed far more often than typed",
    types.COMPLETION_ITEM_RESOLVE: "goes with completion",
    types.TEXT_DOCUMENT_INLINE_COMPLETION: "goes with completion",
    types.TEXT_DOCUMENT_SIGNATURE_HELP: "the hover says what a code's words mean",
    types.TEXT_DOCUMENT_DIAGNOSTIC: "findings are pushed",
    types.WORKSPACE_DIAGNOSTIC: "findings are pushed; the command line checks folders",
    types.CODE_ACTION_RESOLVE: "code actions come with their edits",
    types.WORKSPACE_EXECUTE_COMMAND: "a remedy is an edit, which the editor makes",
    types.CODE_LENS_RESOLVE: "code lenses come with their titles",
    types.INLAY_HINT_RESOLVE: "inlay hints come with all that they say",
    types.TEXT_DOCUMENT_DEFINITION: "jumps and calls are followed, but not offered yet",
    types.TEXT_DOCUMENT_DECLARATION: "a program declares nothing apart from its definition",
    types.TEXT_DOCUMENT_TYPE_DEFINITION: "a program has no types",
    types.TEXT_DOCUMENT_IMPLEMENTATION: "a program has no interfaces",
    types.TEXT_DOCUMENT_REFERENCES: "jumps and calls are followed, but not offered yet",
    types.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT: "jumps and calls are followed, but not offered yet",
    types.TEXT_DOCUMENT_PREPARE_CALL_HIERARCHY: "calls are followed, but not offered yet",
    types.CALL_HIERARCHY_INCOMING_CALLS: "calls are followed, but not offered yet",
    types.CALL_HIERARCHY_OUTGOING_CALLS: "calls are followed, but not offered yet",
    types.TEXT_DOCUMENT_PREPARE_TYPE_HIERARCHY: "a program has no types",
    types.TYPE_HIERARCHY_SUBTYPES: "a program has no types",
    types.TYPE_HIERARCHY_SUPERTYPES: "a program has no types",
    types.TEXT_DOCUMENT_DOCUMENT_SYMBOL: "operations are not listed yet",
    types.WORKSPACE_SYMBOL: "operations are not listed yet",
    types.WORKSPACE_SYMBOL_RESOLVE: "operations are not listed yet",
    types.TEXT_DOCUMENT_FOLDING_RANGE: "operations are not listed yet",
    types.TEXT_DOCUMENT_SELECTION_RANGE: "a block is one line; the editor's own selection does",
    types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL: "no colouring by frame yet",
    types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL_DELTA: "no colouring by frame yet",
    types.TEXT_DOCUMENT_SEMANTIC_TOKENS_RANGE: "no colouring by frame yet",
    types.TEXT_DOCUMENT_FORMATTING: "a proven program keeps the form its author gave it",
    types.TEXT_DOCUMENT_RANGE_FORMATTING: "a proven program keeps the form its author gave it",
    types.TEXT_DOCUMENT_RANGES_FORMATTING: "a proven program keeps the form its author gave it",
    types.TEXT_DOCUMENT_ON_TYPE_FORMATTING: "a proven program keeps the form its author gave it",
    types.TEXT_DOCUMENT_RENAME: "numbers of programs and blocks are known to the control, not only to the file",
    types.TEXT_DOCUMENT_PREPARE_RENAME: "numbers of programs and blocks are known to the control, not only to the file",
    types.TEXT_DOCUMENT_LINKED_EDITING_RANGE: "nothing in a block must be typed twice",
    types.TEXT_DOCUMENT_DOCUMENT_LINK: "a program names no files",
    types.DOCUMENT_LINK_RESOLVE: "a program names no files",
    types.TEXT_DOCUMENT_DOCUMENT_COLOR: "a program has no colours",
    types.TEXT_DOCUMENT_COLOR_PRESENTATION: "a program has no colours",
    types.TEXT_DOCUMENT_INLINE_VALUE: "there is no debugger",
    types.TEXT_DOCUMENT_MONIKER: "there is no index over repositories",
    types.TEXT_DOCUMENT_WILL_SAVE: "nothing is changed on saving",
    types.TEXT_DOCUMENT_WILL_SAVE_WAIT_UNTIL: "nothing is changed on saving",
    types.WORKSPACE_TEXT_DOCUMENT_CONTENT: "the server serves no documents of its own",
    types.NOTEBOOK_DOCUMENT_DID_OPEN: "programs are plain text",
    types.NOTEBOOK_DOCUMENT_DID_CHANGE: "programs are plain text",
    types.NOTEBOOK_DOCUMENT_DID_CLOSE: "programs are plain text",
    types.NOTEBOOK_DOCUMENT_DID_SAVE: "programs are plain text",
    types.WORKSPACE_WILL_CREATE_FILES: "only open documents are looked at",
    types.WORKSPACE_WILL_DELETE_FILES: "only open documents are looked at",
    types.WORKSPACE_WILL_RENAME_FILES: "only open documents are looked at",
    types.WORKSPACE_DID_CREATE_FILES: "only open documents are looked at",
    types.WORKSPACE_DID_DELETE_FILES: "only open documents are looked at",
    types.WORKSPACE_DID_RENAME_FILES: "only open documents are looked at",
    types.WORKSPACE_DID_CHANGE_WORKSPACE_FOLDERS: "those open at the start say how far machine files may lead",
    types.WINDOW_WORK_DONE_PROGRESS_CANCEL: "no progress is shown",
    types.PROGRESS: "no progress is shown",
    types.SET_TRACE: "nothing is traced",
}
"""Methods a client may send that are neither announced nor served, each with the reason."""
