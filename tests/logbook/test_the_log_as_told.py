"""What a log says in sentences: how fast something goes, from where it is counted, and when nothing is said."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

import pytest
from diagnose.casebook.case import CaseState
from diagnose.casebook.models import Event
from diagnose.knowledge.rule_base import RuleBase
from diagnose.logbook.told import tell_log
from diagnose.units import System

BEGAN = date(2026, 10, 1)


def case(base: RuleBase, name: str, readings: Iterable[tuple[int, float]]) -> CaseState:
    """A case in which one thing was read on these days."""
    state = CaseState(base=base)
    for at, value in readings:
        event = Event(at=f"{BEGAN + timedelta(days=at)}", did="read", about=name, value=value)
        state.apply(event, float(value))
    return state


def told(base: RuleBase, state: CaseState, name: str, units: System = "metric") -> str:
    """What is said of one thing, twenty days after the first reading."""
    log = tell_log(base, state, units, BEGAN + timedelta(days=20))
    assert log is not None
    (curve,) = (one for one in log.curves if one.name == name)
    return " ".join(curve.says)


@pytest.mark.parametrize(
    ("name", "readings", "units", "says"),
    [
        # Worked by hand: the fall over its days, times seven for a week; 1 °C is 1.8 °F.
        ("gravity_now", [(0, 1.090), (4, 1.050)], "metric", "It falls by 10.0 ± 0.4 points (0.001) a day"),
        ("ph", [(0, 3.2), (14, 3.6)], "metric", "It rises by 0.2 ± "),
        ("free_so2", [(0, 60), (14, 30)], "metric", "It falls by 15 mg/L ± "),
        ("cellar_temperature", [(0, 10), (5, 20)], "metric", "It rises by 2 ± "),
        ("cellar_temperature", [(0, 10), (5, 20)], "us", "It rises by 3.6 ± "),
    ],
)
def test_how_fast_it_goes_is_said_in_the_measure_of_the_thing(
    base: RuleBase, name: str, readings: list[tuple[int, float]], units: System, says: str
) -> None:
    """A ferment in points a day, temperatures in degrees a day of the person's own, all that is slower by the week."""
    said = told(base, case(base, name, readings), name, units)
    assert says in said, said
    assert said.endswith("Two readings are few; take another.")
    slow = name in ("ph", "free_so2")
    assert (" a week" in said) is slow and (" a day" in said) is not slow


def test_what_was_added_begins_the_count_anew_and_is_named(base: RuleBase) -> None:
    """Readings before the sugar are not compared with those after it, and the person is told from when it counts."""
    state = case(base, "gravity_now", [(0, 1.060), (4, 1.020), (8, 1.050), (10, 1.040)])
    assert "Counted anew" not in told(base, state, "gravity_now")
    state.apply(Event(at=f"{BEGAN + timedelta(days=6)}", did="noted", value="added sugar, 1 kg"))
    said = told(base, state, "gravity_now")
    assert "Counted anew from 7 Oct 2026, for what was done then: added sugar, 1 kg." in said
    assert "by 2 readings from 9 Oct 2026 to 11 Oct 2026" in said


@pytest.mark.parametrize(
    ("gravities", "is_judged"), [([1.090, 1.060], True), ([0.968, 0.962], False)], ids=["must", "spirit"]
)
def test_no_verdict_on_a_ferment_is_given_beyond_what_it_was_made_for(
    base: RuleBase, gravities: list[float], is_judged: bool
) -> None:
    """Where own rules take lighter densities than the sum knows, readings are shown and nothing is judged."""
    state = case(base, "gravity_now", [*zip((0, 3), gravities, strict=True)])
    state.apply(Event(at=f"{BEGAN}", did="read", about="cellar_temperature", value=20.0), 20.0)
    said = told(base, state, "gravity_now")
    assert f"Last read 17 days ago: {gravities[-1]:.3f}" in said
    assert ("As a ferment it is" in said) is is_judged
