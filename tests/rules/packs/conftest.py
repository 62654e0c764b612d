"""The shipped packs."""

from __future__ import annotations

import pytest

from rules.library.loading import Library, load_library


@pytest.fixture(scope="session")
def shipped() -> Library:
    return load_library()
