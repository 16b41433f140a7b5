"""The files that URIs of the client name."""

from __future__ import annotations

import os
from pathlib import Path

from pygls import uris


def path_of(uri: str) -> Path | None:
    """None for documents that are no files, and for what is no URI."""
    try:
        path = uris.to_fs_path(uri)
    except ValueError:
        return None
    return Path(os.path.normpath(path)) if path else None
