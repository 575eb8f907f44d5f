"""What holds for all tests: no property fails for the speed of the machine; speed is measured in the benchmarks."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("any_machine", deadline=None)
settings.load_profile("any_machine")
