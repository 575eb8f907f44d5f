"""What a plan puts in and what it only shows, and amounts that cannot have been meant."""

from __future__ import annotations

import pytest
from diagnose.engine.compile import FREE
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, judge
from diagnose.planning.added import cannot_be
from diagnose.planning.fixes import FixAdvice, Reason, Serves
from diagnose.planning.plan import CautionShown, Plan
from diagnose.planning.projection import fact_words
from made_bases import base_of, cause, fix, rule, says, yes_no


def steps(*facts: Fact) -> set[str]:
    """The fixes in the plan of a wine with a film, where rest is worth less than clay."""
    base = base_of(
        yes_no("film", normally={"yes": "hardly_ever"}),
        yes_no("working"),
        cause("protein", says("film", yes="confirms"), fixes={"clay": "fully", "rest": "partly"}),
        cause("yeast", says("working", yes="for")),
        fix("clay"),
        fix("rest"),
        rule("rest_it", {"working": "no"}, offer="rest"),
    )
    found = judge(Cellar(base), "haze", [Fact("film", "yes"), *facts]).plan
    assert {item.fix for item in found.steps} | {item.fix for item in found.others} == {"clay", "rest"}
    return {item.fix for item in found.steps}


def test_a_lesser_fix_that_a_rule_offers_by_name_stands_in_the_plan_too() -> None:
    """The page of the cause offers it as the lesser way; a rule that speaks for the wine as it stands puts it in."""
    assert steps() == {"clay"}
    assert steps(Fact("working", "no")) == {"clay", "rest"}


BY_RULE, BY_PAGE = Reason("It works.", f"{FREE}gas", ()), Reason("On its page.", "clay", ())


@pytest.mark.parametrize(
    ("reasons", "now"), [((BY_RULE,), True), ((BY_PAGE, BY_RULE), True), ((BY_PAGE,), False), ((), False)]
)
def test_a_caution_holds_now_where_any_rule_warns_of_the_wine_itself(
    reasons: tuple[Reason, ...], now: bool
) -> None:
    """One that only belongs to a step to come can wait for that step."""
    assert CautionShown("dust", reasons).holds_now is now


def test_a_forbidden_fix_is_told_of_only_where_somebody_might_have_done_it() -> None:
    """It would serve a cause in play, or a page offers it; any other ban is noise."""
    serves = (Serves("protein", 0.5, "likely", "fully", 0.4, "It does."),)

    def banned(name: str, helps: tuple[Serves, ...], offered: tuple[Reason, ...]) -> FixAdvice:
        return FixAdvice(name, "forbidden", 0.0, helps, {}, offered, (BY_RULE,), (), ())

    bans = (
        banned("serves", serves, ()),
        banned("offered", (), (BY_PAGE,)),
        banned("both", serves, (BY_PAGE,)),
        banned("neither", (), ()),
    )
    plan = Plan((), (), (), (), bans, (), ())
    assert [item.fix for item in plan.forbidden_in_play] == ["serves", "offered", "both"]
    assert plan.of("neither") == bans[-1] and plan.of("unheard_of") is None


@pytest.mark.parametrize(
    ("planned", "quantity", "added", "vessel", "can_be"),
    [
        (1.0, "trace", 49.9, 23.0, True),
        (1.0, "trace", 50.0, 23.0, False),
        (1.0, "trace", 0.0201, 23.0, True),
        (1.0, "trace", 0.02, 23.0, False),
        (None, "trace", 1e6, 23.0, True),
        (None, "mass", 1e6, None, True),
        (None, "volume", 1e6, None, True),
    ],
)
def test_fifty_times_the_plan_is_a_slip(
    planned: float | None, quantity: str, added: float, vessel: float | None, can_be: bool
) -> None:
    """A point or a unit wrong shows as fifty times or a fiftieth; without plan and vessel nothing can be said."""
    assert (cannot_be(planned, quantity, added, vessel) is None) is can_be


@pytest.mark.parametrize(
    ("short", "inside"), [("Film", "film"), ("A film", "a film"), ("SO2 now", "SO2 now"), ("pH", "pH")]
)
def test_words_begin_small_inside_a_sentence_unless_they_are_an_abbreviation(short: str, inside: str) -> None:
    """`not known without a film`, and `not known without SO2 now`."""
    assert fact_words(base_of(yes_no("film", short=short)), "film") == inside
