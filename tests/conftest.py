"""Options of the suite. That this file stands here also puts tests/ on the import path, for `fixtures`."""

from __future__ import annotations

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--update-expected",
        action="store_true",
        help="write what the tests find into the files of expected text; review the difference before it is committed",
    )


@pytest.fixture
def update_expected(request: pytest.FixtureRequest) -> bool:
    return bool(request.config.getoption("--update-expected"))
