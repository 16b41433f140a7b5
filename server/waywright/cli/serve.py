"""`waywright serve`: the language server, on standard input and output."""

from __future__ import annotations

from typing import Annotated

import typer

from .options import CodeSystemOption, command


@command
def serve(
    stdio: Annotated[
        bool, typer.Option("--stdio", help="Talk over standard input and output, which it does anyway.")
    ] = True,
    client_process_id: Annotated[
        int | None, typer.Option("--clientProcessId", help="End when the process of this number has ended.")
    ] = None,
    code_system: CodeSystemOption = None,
) -> int:
    """Run the language server for an editor."""
    from waywright.lsp.server import serve as run

    return run(client_process_id, code_system)
