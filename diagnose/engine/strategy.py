"""The order in which waiting rules fire: one total order, and exact removal.

experta's own strategy removes a waiting rule by looking at three neighbours, so it can fire a rule whose
facts are gone, and it orders ties differently in every process.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from .experta_shim import experta


def _key(activation: Any) -> tuple[int, str, tuple[int, ...]]:
    facts = tuple(sorted(-fact["__factid__"] for fact in activation.facts))
    return activation.rule.salience, activation.rule.__name__, facts


class OneOrder(experta.abstract.Strategy):  # type: ignore[misc,name-defined]
    """Highest salience first, then by rule name, then by the order in which facts came."""

    def _update_agenda(self, agenda: Any, added: Any, removed: Any) -> None:
        if not added and not removed:
            return
        waiting = {_key(activation): activation for activation in agenda.activations}
        for activation in removed:
            waiting.pop(_key(activation), None)
        for activation in added:
            waiting[_key(activation)] = activation
        # The agenda fires its last entry next.
        agenda.activations = [
            waiting[key] for key in sorted(waiting, key=lambda k: (k[0], _last_first(k[1]), k[2]))
        ]


@cache
def _last_first(name: str) -> tuple[int, ...]:
    # The closing 1 puts a name before all longer names that begin with it.
    return (*(-ord(letter) for letter in name), 1)
