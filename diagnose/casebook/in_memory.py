"""A case that is kept nowhere: for a consultation that a program plays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from .case import CaseState
from .models import CaseFile, Event


@dataclass
class InMemory:
    """What an open case offers, without a file."""

    case: CaseFile
    state: CaseState = field(default_factory=CaseState)

    def record(
        self, did: str, about: str | None = None, value: Any = None, data: Mapping[str, Any] | None = None
    ) -> None:
        """Take an event into account. `value` of an answer must be a checked value."""
        written = sorted(value) if isinstance(value, frozenset) else value
        event = {"at": "1970-01-01", "did": did, "about": about, "value": written, "data": data or {}}
        self.state.apply(Event.model_validate(event), value)
