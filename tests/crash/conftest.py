"""A cache of the rules that all these starts share."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Rules read once and then kept, as on a person's machine."""
    return tmp_path_factory.getbasetemp().parent / "rules_read_for_crashes"
