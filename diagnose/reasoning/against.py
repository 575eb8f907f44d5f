"""One sign against the favourite, before it is believed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diagnose.engine.compile import fact_read
from diagnose.knowledge.models.facts import Observation

from .questions import State, cost_of, may_be_asked


def sign_against(state: State, cause: str, left_out: Iterable[str]) -> str | None:
    """The cheapest question whose answer could speak against a cause; None when one was answered, or none is cheap.

    People, and programs, go on looking for what they expect. A mentor asks once for what does not fit.
    """
    base, skip = state.base, set(left_out)
    speaking = list(_could_speak_against(state, cause))
    if any(name in state.facts for _, name in speaking):
        return None
    dearest = base.word("asking", "a_cheap_sign")
    open_ = [
        (cost, page.observe)
        for page, _ in speaking
        if page.observe not in skip and may_be_asked(page, state.facts)
        for cost in [cost_of(base, page)[0]]
        if cost <= dearest
    ]
    return min(open_, default=(0.0, None))[1]


def _could_speak_against(state: State, cause: str) -> Iterator[tuple[Observation, str]]:
    """The questions with an answer that speaks against a cause, and the facts they become."""
    base = state.base
    for row in base.causes[cause].evidence:
        page = base.observations.get(row.observe or "")
        if page and any(base.word("strength", word) < 0 for word in row.says.values()):
            yield page, fact_read(page)
