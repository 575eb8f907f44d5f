"""The numbers of the wine as foreseen: the spread of the instrument, what is lost, and what stays open and why."""

from __future__ import annotations

import math
from datetime import date
from pathlib import Path

import pytest
from diagnose.calculators.spread import Range
from diagnose.engine.facts import Fact
from diagnose.knowledge.models.treatments import Check
from diagnose.knowledge.read import read_rule_base
from diagnose.planning.fixes import Amount
from diagnose.planning.projection import as_facts, fact_words, projected_after, projected_now, quantity_of
from diagnose.planning.whole import Projected, look_days
from made_bases import base_of, fix, yes_no

RULES = read_rule_base([Path(__file__).resolve().parents[2] / "rules"])
FIRST = date(2026, 3, 2)


@pytest.mark.parametrize(
    ("name", "read", "low", "high"),
    [
        ("ph", 3.4, 3.35, 3.45),
        ("alcohol", 12.0, 11.5, 12.5),
        ("alcohol", 0.2, 0.0, 0.7),
        ("free_so2", 20.0, 17.0, 23.0),
        ("total_so2", 100.0, 90.0, 110.0),
        ("vessel_volume", 50.0, 49.0, 51.0),
        ("vessel_volume", 20.0, 19.6, 20.4),
        ("alcohol", 60.0, 59.5, 60.5),
    ],
)
def test_a_reading_is_as_sure_as_its_usual_instrument(
    name: str, read: float, low: float, high: float
) -> None:
    """A titration is good to 3 mg/L or a tenth, whichever is more, a vessel to a fiftieth (rules/instruments.yaml)."""
    found = projected_now(RULES, {name: (read,)}).numbers[name]
    assert (found.low, found.value, found.high) == pytest.approx((low, read, high))


def test_what_no_instrument_reads_is_taken_as_it_was_told() -> None:
    """Where no page tells how well a thing is read, no spread is made up."""
    quantities = {page.measures for page in RULES.instruments.values()}
    alone = [name for name, page in RULES.tracked.items() if page.behaves != "follows"]
    plain = [name for name in alone if quantity_of(RULES, name) not in quantities]
    assert plain, "the shipped rules follow something that no instrument page speaks of"
    for name in plain:
        assert projected_now(RULES, {name: (5.0,)}).numbers[name] == Range(5.0, 5.0, 5.0)


def test_a_word_or_two_numbers_are_no_measurement() -> None:
    """Who answered with a word, or told two volumes, has measured none."""
    for told in (("full",), (20.0, 30.0)):
        now = projected_now(RULES, {"vessel_volume": told})
        assert "vessel_volume" not in now.numbers and "measured" in now.open["vessel_volume"]


def test_a_loss_takes_wine_between_its_ends_and_nothing_of_its_strength() -> None:
    """Racking takes what its page says, from the least to the most; alcohol and acid stay as they were."""
    (name, loss), *_ = [
        (name, RULES.losses[page.changes[0].loses])
        for name, page in RULES.fixes.items()
        if len(page.changes) == 1 and page.changes[0].loses
    ]
    known = {"vessel_volume": (100.0,), "alcohol": (12.0,)}
    before = projected_now(RULES, known)
    then = projected_after(RULES, RULES.fixes[name], (), before, known)
    least, most = loss.percent
    found = then.numbers["vessel_volume"]
    assert 0 <= least < most
    middle = 100 - (least + most) / 2
    # Two spreads of unlike origin add up as the sides of a right angle: the marks of the vessel, and the loss.
    spread = math.hypot(0.02 * middle, (most - least) / 2)
    assert (found.low, found.value, found.high) == pytest.approx(
        (middle - spread, middle, middle + spread), rel=1e-3
    )
    assert then.numbers["alcohol"] == before.numbers["alcohol"]


def test_an_amount_that_is_not_known_leaves_open_what_it_would_thin() -> None:
    """A pouring of unknown size on a page that takes no part of the wine for it: the volume is open, and says why."""
    pours = [
        (name, change)
        for name, page in RULES.fixes.items()
        for change in page.changes
        if change.adds and not change.without_amount_percent
    ]
    for name, change in pours:
        poured = Amount(
            change.adds or "", "a liquid", "volume", None, "blend", {"volume_a_l": "vessel_volume"}
        )
        known = {"vessel_volume": (100.0,), "alcohol": (12.0,)}
        page = RULES.fixes[name].model_copy(update={"changes": (change,)})
        then = projected_after(RULES, page, [poured], projected_now(RULES, known), known)
        for lost in ("vessel_volume", "alcohol"):
            assert lost not in then.numbers
            volume = fact_words(RULES, "vessel_volume")
            assert then.open[lost] == f"a liquid: not known without {volume}"
    assert pours, "the shipped rules have such a page"


def test_what_nobody_measured_stays_so_whatever_is_done() -> None:
    """A number that was open before a fix keeps its first reason: nobody has measured it."""
    before = Projected({}, {"ph": "nobody has measured it"})
    then = projected_after(RULES, RULES.fixes["cold_stabilise"], (), before, {})
    assert then.open["ph"] == "nobody has measured it"


def test_the_foreseen_wine_answers_in_place_of_the_one_of_today() -> None:
    """A later step reads the foreseen volume; what is open there is not known, and other answers stay."""
    given = (Fact("vessel_volume", 100.0), Fact("ph", 3.4), Fact("wine_colour", "white"))
    state = Projected({"vessel_volume": Range(90, 93, 95)}, {"ph": "the cold moves it"})
    assert set(as_facts(RULES, given, state)) == {Fact("wine_colour", "white"), Fact("vessel_volume", 93)}


def test_what_is_worked_out_is_worked_out_anew() -> None:
    """Molecular SO2 is never taken over as an answer: it follows from the foreseen pH and free SO2."""
    state = Projected({"ph": Range(3.3, 3.4, 3.5), "so2_molecular_now": Range(0.4, 0.5, 0.6)}, {})
    assert as_facts(RULES, (), state) == (Fact("ph", 3.4),)


@pytest.mark.parametrize(
    ("known", "why"),
    [
        ({"free_so2": Range(17, 20, 23)}, "not known without pH"),
        ({"ph": Range(4.8, 4.9, 5.0), "free_so2": Range(17, 20, 23)}, "The pH is 4.9"),
    ],
)
def test_what_can_no_longer_be_worked_out_says_why(known: dict[str, Range], why: str) -> None:
    """The reason is that of the wine as it now is, not one from before: what is missing, or what the sum refuses."""
    before = Projected(
        {**known, "so2_molecular_now": Range(0.4, 0.5, 0.6)}, {"so2_molecular_now": "the cold moves it"}
    )
    then = projected_after(RULES, base_of(fix("wait")).fixes["wait"], (), before, {})
    assert "so2_molecular_now" not in then.numbers
    assert why in then.open["so2_molecular_now"]


def test_an_article_stands_small_inside_a_sentence() -> None:
    """A question that is called `A film` is spoken of as `a film`."""
    assert fact_words(base_of(yes_no("film", short="A film on top")), "film") == "a film on top"


def test_a_name_stands_inside_a_sentence() -> None:
    """The name of a fact begins small inside a sentence, unless it is an abbreviation such as pH."""
    said = {fact_words(RULES, name) for name in RULES.tracked}
    assert not [words for words in said if words[:1].isupper() and words[1:2].islower()]
    assert fact_words(RULES, "no_such_fact") == "no_such_fact"


@pytest.mark.parametrize(
    ("days", "after"), [(0, 0), (0.1, 0), (0.4, 0), (0.5, 1), (1, 1), (1.4, 1), (1.5, 2), (7, 7), (30, 30)]
)
def test_hours_count_as_the_same_day_and_half_a_day_as_the_next(days: float, after: int) -> None:
    """An hour later is today, and a night later is tomorrow."""
    check = Check.model_validate(
        {"after": "a while", "days": [days], "do": "Look.", "good": "Clear.", "if_not": "Wait."}
    )
    assert [(day - FIRST).days for day in look_days(check, FIRST)] == [after]
    assert look_days(base_of(fix("wait")).fixes["wait"].check, FIRST) == ()
