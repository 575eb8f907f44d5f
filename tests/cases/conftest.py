"""Lends these tests the rules in CLIPS, kept beside the other second opinions."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "oracles"))
