"""Lends these tests the invented rule folder of the loader's tests, and the random conditions of the engine's."""

from __future__ import annotations

import sys
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS / "knowledge"), str(TESTS / "engine")]
