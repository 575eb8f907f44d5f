"""Lends these tests the weighing by hand kept beside the tests of the reasoning."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "reasoning"))
