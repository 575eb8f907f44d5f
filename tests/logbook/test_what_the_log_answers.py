"""What readings answer, and what they do not."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

import pytest
from diagnose.casebook.case import CaseState
from diagnose.casebook.models import Event
from diagnose.knowledge.rule_base import RuleBase
from diagnose.logbook.gathered import Gathered, Taken, news
from diagnose.logbook.told import tell_log
from diagnose.report.curve import draw_log
from diagnose.series.log import Moment
from hypothesis import given
from hypothesis import strategies as st

BEGAN = date(2026, 10, 1)


def day(number: float) -> str:
    """A day of the log, as a file holds it."""
    return (BEGAN + timedelta(days=int(number))).isoformat()


def case(base: RuleBase, readings: Iterable[tuple[float, float]], name: str = "gravity_now") -> CaseState:
    """A case in which one thing was read on these days."""
    state = CaseState(base=base)
    for at, value in readings:
        state.apply(Event(at=day(at), did="read", about=name, value=value), float(value))
    return state


def answers(state: CaseState) -> dict[str, object]:
    """What the log answers."""
    return {name: one.value for name, one in state.from_log.items()}


FERMENT = [(0, 1.090), (2, 1.074), (4, 1.056), (6, 1.038), (8, 1.022)]


def test_a_ferment_that_goes_on_is_falling(base: RuleBase) -> None:
    """The latest reading, that it falls, and by how much in a day."""
    found = answers(case(base, FERMENT))
    assert found["gravity_now"] == 1.022 and found["gravity_trend"] == "falling"
    assert found["points_lost_per_day"] == pytest.approx(8.5, abs=0.6)


def test_a_ferment_that_has_stopped_is_steady(base: RuleBase) -> None:
    """Only the present straight stretch counts: a line through the whole log would still fall."""
    stopped = case(base, [*FERMENT, (10, 1.020), (11, 1.020), (13, 1.020)])
    found = answers(stopped)
    assert found["gravity_trend"] == "steady" and found["points_lost_per_day"] == 0
    assert stopped.from_log["gravity_trend"].since == BEGAN + timedelta(days=10)


def test_a_single_day_without_a_fall_is_no_stillness_yet(base: RuleBase) -> None:
    """The question asks for two days or more."""
    found = answers(case(base, [*FERMENT, (9, 1.014), (10, 1.014)]))
    assert "gravity_trend" not in found


def test_a_small_fall_is_neither_called_nor_denied(base: RuleBase) -> None:
    """One thousandth between two readings may be the eye."""
    assert "gravity_trend" not in answers(case(base, [(0, 0.996), (3, 0.995)]))


def test_one_reading_answers_for_itself_only(base: RuleBase) -> None:
    """A single density says nothing of where it goes."""
    assert answers(case(base, [(0, 1.05)])) == {"gravity_now": 1.05}


def test_a_long_level_is_followed_to_where_it_began(base: RuleBase) -> None:
    """A wine that was read every day for months has stood since the first of them."""
    still = case(base, [*FERMENT, *((day, 1.010) for day in range(10, 110))])
    assert still.from_log["gravity_trend"].value == "steady"
    assert still.from_log["gravity_trend"].since == BEGAN + timedelta(days=10)


def test_what_the_log_cannot_know_it_does_not_answer(base: RuleBase) -> None:
    """The course, the start, the hottest hour and the story of the sulfite are the person's to tell."""
    state = case(base, FERMENT)
    for at in (0, 10, 20, 30):
        state.apply(Event(at=day(at), did="read", about="free_so2", value=40.0 - at), 40.0 - at)
        state.apply(Event(at=day(at), did="read", about="total_so2", value=90.0 - at), 90.0 - at)
    assert not {"ferment_course", "start_gravity", "hottest", "so2_over_time"} & set(answers(state))


@pytest.mark.parametrize(
    "event",
    [
        Event(at=day(9), did="noted", value="added 200 g of sugar"),
        Event(at=day(9), did="noted", value="Topped up with last year's"),
        Event(at=day(9), did="done", about="thin_or_split_must"),
    ],
)
def test_an_addition_ends_a_run(base: RuleBase, event: Event) -> None:
    """Before and after sugar, water or another wine two densities cannot be compared."""
    state = case(base, [*FERMENT, (10, 1.008)])
    assert answers(state)["gravity_trend"] == "falling"
    state.apply(event)
    assert "gravity_trend" not in answers(state) and answers(state)["gravity_now"] == 1.008


def test_a_remark_on_something_else_ends_nothing(base: RuleBase) -> None:
    """A sugar test adds no sugar."""
    state = case(base, FERMENT)
    state.apply(Event(at=day(7), did="noted", value="sugar test: not dry"))
    assert answers(state)["gravity_trend"] == "falling"


def test_sulfite_lost_is_scaled_to_a_month(base: RuleBase) -> None:
    """Ten mg/L in twenty days are fifteen in thirty; fewer than two weeks say nothing."""
    slow = case(base, [(0, 45), (10, 40), (20, 35)], "free_so2")
    assert answers(slow)["so2_lost_per_month"] == pytest.approx(15)
    assert "so2_lost_per_month" not in answers(case(base, [(0, 45), (10, 35)], "free_so2"))
    slow.apply(Event(at=day(15), did="noted", value="added 2 g sulfite"))
    assert "so2_lost_per_month" not in answers(slow)


@pytest.mark.parametrize(("answered", "counts"), [(7, 1.022), (8, 1.018), (9, 1.018)])
def test_of_the_person_and_the_log_the_newer_counts(base: RuleBase, answered: int, counts: float) -> None:
    """On the same day it is the person's own."""
    state = case(base, FERMENT)
    state.apply(
        Event(at=day(answered) + "T18:00:00+01:00", did="answered", about="gravity_now", value=1.018), 1.018
    )
    assert state.known["gravity_now"] == counts
    assert {fact.name: fact.value for fact in state.facts()}["gravity_now"] == counts
    state.apply(Event(at=day(12), did="took_back", about="gravity_now"))
    assert state.known["gravity_now"] == 1.022


def test_a_reading_kept_later_for_the_same_moment_corrects(base: RuleBase) -> None:
    """The file only grows; the last word counts."""
    assert answers(case(base, [(0, 1.05), (0, 1.06)]))["gravity_now"] == 1.06


def test_a_must_is_as_warm_as_the_wine(base: RuleBase) -> None:
    """A ferment and its wine are in one vessel; the later thermometer counts."""
    state = case(base, [(0, 20)], "cellar_temperature")
    assert answers(state) == {"cellar_temperature": 20, "ferment_temperature": 20}
    state.apply(Event(at=day(1), did="read", about="ferment_temperature", value=29.0), 29.0)
    assert answers(state) == {"cellar_temperature": 20, "ferment_temperature": 29}


@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(985, 1140)), max_size=25),
    st.permutations(range(25)),
)
def test_the_order_in_which_readings_are_kept_is_no_matter(
    base: RuleBase, readings: list[tuple[int, int]], order: list[int]
) -> None:
    """Readings of different moments mean the same in any order, and any log can be told and drawn."""
    single = list({at: (at, value / 1000) for at, value in readings}.values())
    shuffled = [single[at] for at in order if at < len(single)]
    one, other = case(base, single), case(base, shuffled)
    assert answers(one) == answers(other)
    told = tell_log(base, one, "metric", BEGAN + timedelta(days=60))
    assert (told is None) == (not single)
    if told is not None:
        for drawing in draw_log(told):
            assert all(drawing.left <= point.x <= drawing.right for point in drawing.points)
            assert all(drawing.top <= point.y <= drawing.bottom for point in drawing.points)


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(1000, 1005)), max_size=20))
def test_nothing_is_kept_twice(base: RuleBase, readings: list[tuple[int, int]]) -> None:
    """What a case holds already is not added again, however often it comes."""
    gathered = Gathered(
        tuple(
            Taken(Moment(BEGAN + timedelta(days=at)), "gravity_now", value / 1000) for at, value in readings
        )
    )
    state = case(base, [])
    first = news(state, gathered)
    assert len(first.readings) == len(set(readings)) and first.known == len(readings) - len(set(readings))
    for one in first.readings:
        event = Event(at=one.moment.written, did="read", about=one.name, value=one.value)
        state.apply(event, one.value)
    assert not list(news(state, gathered).events())


def says(base: RuleBase, state: CaseState, *readings: tuple[str, float]) -> str:
    """What is told of the first curve; these other things were read on the first day."""
    for name, value in readings:
        state.apply(Event(at=day(0), did="read", about=name, value=value), value)
    told = tell_log(base, state, "metric", BEGAN + timedelta(days=30))
    assert told is not None
    return " ".join(told.curves[0].says)


@pytest.mark.parametrize(
    ("name", "readings", "told"),
    [
        ("ph", [(0, 3.2), (10, 3.4), (20, 3.6)], "It rises by 0.14 ± "),
        ("free_so2", [(0, 60.0), (10, 40.0), (20, 20.0)], "It falls by 14 mg/L ± "),
    ],
)
def test_what_is_slow_is_told_by_the_week(
    base: RuleBase, name: str, readings: list[tuple[float, float]], told: str
) -> None:
    """Worked by hand: 0.4 in 20 days are 0.14 in seven, and 40 mg/L are 14."""
    sentence = says(base, case(base, readings, name))
    assert told in sentence
    assert " a week, by 3 readings from 1 Oct 2026 to 21 Oct 2026." in sentence


def test_where_an_addition_ended_a_run_that_is_told_with_its_day(base: RuleBase) -> None:
    """The pace is that of the days since; whoever reads it learns why the earlier ones do not count."""
    state = case(base, [*FERMENT, (10, 1.040), (12, 1.024)])
    state.apply(Event(at=day(9), did="noted", value="added 2 kg sugar"))
    told = "Counted anew from 10 Oct 2026, for what was done then: added 2 kg sugar."
    assert told in says(base, state)
    assert "by 2 readings from 11 Oct 2026 to 13 Oct 2026" in says(base, state)


@pytest.mark.parametrize(("warmth", "judged"), [(20.0, True), (55.0, False)])
def test_a_warmth_at_which_nothing_ferments_gives_no_verdict(
    base: RuleBase, warmth: float, judged: bool
) -> None:
    """A slip of the thermometer does not stop the log from being told, and is not judged by."""
    told = says(base, case(base, FERMENT), ("cellar_temperature", warmth))
    assert ("As a ferment it is " in told) is judged
    assert "It falls by " in told
