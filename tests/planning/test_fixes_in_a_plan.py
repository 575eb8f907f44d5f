from __future__ import annotations

from typing import Any

import pytest
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, judge
from diagnose.planning.fixes import FixAdvice
from diagnose.planning.plan import Plan
from hypothesis import given, settings
from hypothesis import strategies as st
from made_bases import (
    Page,
    base_of,
    bench_test,
    cause,
    caution,
    cellar_pages,
    choice,
    fix,
    number,
    rule,
    says,
    state,
    yes_no,
)


def plan_of(pages: list[Page], *facts: Fact) -> Plan:
    """The plan of a small cellar."""
    return judge(Cellar(base_of(*pages)), "haze", facts).plan


def names(advice: tuple[FixAdvice, ...]) -> list[str]:
    """The fixes by name."""
    return [item.fix for item in advice]


def haze(*more: Page, fixes: dict[str, str] | None = None) -> list[Page]:
    """A cause that one look makes likely and a bench test confirms."""
    return [
        yes_no("film", normally={"yes": "hardly_ever"}),
        choice("heat_test", "hazier", "unchanged"),
        yes_no("working"),
        bench_test(
            "heating", "heat_test", cautions="hot", steps=["Warm.", {"do": "Cool.", "caution": "glass"}]
        ),
        cause(
            "protein",
            says("film", yes="confirms"),
            says("heat_test", hazier="for", unchanged="slightly_against"),
            fixes=fixes or {"bentonite": "fully"},
            confirmed_by=[{"observe": "heat_test", "answers": "hazier"}],
            how_common="rare",
        ),
        caution("hot"),
        caution("glass"),
        *more,
    ]


FILM = Fact("film", "yes")


# ---------------------------------------------------------------- what cannot be undone


def test_what_cannot_be_undone_is_locked_until_a_test_confirms_the_cause() -> None:
    """A likely cause is not enough to put clay into a wine; the test that would open it is named."""
    pages = haze(fix("bentonite", can_be_undone="no"))
    plan = plan_of(pages, FILM)
    assert names(plan.steps) == [] and names(plan.others) == []
    assert names(plan.locked) == ["bentonite"]
    assert plan.locked[0].unlocked_by == ("heating",)
    assert [item.test for item in plan.tests] == ["heating"]
    confirmed = plan_of(pages, FILM, Fact("heat_test", "hazier"))
    assert names(confirmed.steps) == ["bentonite"] and names(confirmed.locked) == []
    assert confirmed.tests == ()


def test_a_test_that_did_not_confirm_leaves_the_fix_locked() -> None:
    """A heat test without a haze does not open the fix, and is not asked for again."""
    plan = plan_of(haze(fix("bentonite", can_be_undone="no")), FILM, Fact("heat_test", "unchanged"))
    assert names(plan.locked) == ["bentonite"]
    assert plan.locked[0].unlocked_by == () and plan.tests == ()


def test_a_test_of_which_one_answer_is_known_was_done() -> None:
    """A test that answers two questions is not asked for again when only one of its answers was written down."""
    pages = [
        yes_no("film", normally={"yes": "hardly_ever"}),
        yes_no("a"),
        yes_no("b"),
        state("both", ("yes", {"a": "yes", "b": "yes"})),
        bench_test("twins", "a", "b"),
        cause(
            "protein",
            says("film", yes="confirms"),
            fixes={"bentonite": "fully"},
            confirmed_by=[{"observe": "both", "answers": "yes"}],
            how_common="rare",
        ),
        fix("bentonite", can_be_undone="no"),
    ]
    assert plan_of(pages, FILM).locked[0].unlocked_by == ("twins",)
    assert plan_of(pages, FILM, Fact("a", "yes")).locked[0].unlocked_by == ()


def test_what_can_be_undone_is_open_at_once() -> None:
    """Waiting and settling need no proof."""
    assert names(plan_of(haze(fix("bentonite", can_be_undone="yes")), FILM).steps) == ["bentonite"]


def test_a_rule_that_offers_a_fix_by_name_opens_it() -> None:
    """What a rule offers for the wine as it stands needs no confirmed cause."""
    pages = haze(
        fix("bentonite", can_be_undone="no"),
        fix("vent", can_be_undone="no"),
        rule("gas", {"working": "yes"}, offer="vent"),
    )
    plan = plan_of(pages, Fact("working", "yes"))
    assert names(plan.steps) == ["vent"]
    assert [reason.rule for reason in plan.steps[0].offered_by] == ["rule/gas/offer"]


def test_a_rule_opens_a_fix_that_a_page_offers_too() -> None:
    """That the cause is only likely locks nothing which the wine as it stands asks for anyway."""
    pages = haze(
        fix("bentonite", can_be_undone="no"),
        rule("gas", {"working": "yes"}, offer="bentonite"),
    )
    plan = plan_of(pages, FILM, Fact("working", "yes"))
    assert names(plan.steps) == ["bentonite"] and plan.locked == ()
    assert len(plan.steps[0].offered_by) == 2


def test_a_lesser_fix_does_not_take_the_place_of_a_locked_best_one() -> None:
    """Where the best fix waits for a test, the test is the next step; the lesser fix is listed beside."""
    pages = haze(
        fix("bentonite", can_be_undone="no"), fix("wait"), fixes={"bentonite": "fully", "wait": "partly"}
    )
    plan = plan_of(pages, FILM)
    assert names(plan.steps) == [] and names(plan.others) == ["wait"] and names(plan.locked) == ["bentonite"]


# ---------------------------------------------------------------- what is forbidden

BAN: dict[str, Any] = {"when": {"working": "yes"}, "because": "Gas lifts the lees.", "source": "judgement"}


def test_forbidden_wins_over_offered_whoever_offers_and_whoever_forbids() -> None:
    """One reason against is enough, be it on the fix's own page or in a rule; all reasons are told."""
    facts = (FILM, Fact("working", "yes"))
    offer = rule("hurry", {"film": "yes"}, offer="bentonite")
    forbid = rule("no_gas", {"working": "yes"}, forbid=[{"fix": "bentonite", "because": "Gas rises."}])
    for more, reasons in (
        ([fix("bentonite", never_when=[BAN])], ["Gas lifts the lees."]),
        ([fix("bentonite"), forbid], ["Gas rises."]),
        ([fix("bentonite", never_when=[BAN]), forbid, offer], ["Gas lifts the lees.", "Gas rises."]),
    ):
        plan = plan_of(haze(*more), *facts)
        assert names(plan.forbidden) == ["bentonite"]
        assert [reason.says for reason in plan.forbidden[0].forbidden_by] == reasons
        assert "bentonite" not in names((*plan.steps, *plan.others, *plan.locked))
        # Without the gas the same pages offer it.
        assert names(plan_of(haze(*more), FILM).steps) == ["bentonite"]


def test_a_confirmed_cause_does_not_lift_a_ban() -> None:
    """However sure the cause, a fix that would do harm now is not offered."""
    pages = haze(fix("bentonite", can_be_undone="no", never_when=[BAN]))
    plan = plan_of(pages, FILM, Fact("heat_test", "hazier"), Fact("working", "yes"))
    assert names(plan.forbidden) == ["bentonite"] and plan.steps == ()


CHAIN: list[list[Fact]] = [
    [Fact("bubbles", "yes"), Fact("bubbles", "no")],
    [Fact("recently_fined", "yes"), Fact("recently_fined", "no")],
    [Fact("colour", "white"), Fact("colour", "red")],
    [Fact("heat_test", "hazier"), Fact("heat_test", "unchanged")],
    [Fact("smells", frozenset({"yeast"})), Fact("smells", frozenset({"clean"}))],
]
CELLAR = Cellar(base_of(*cellar_pages()))


@settings(max_examples=60)
@given(st.tuples(*(st.sampled_from([None, *pair]) for pair in CHAIN)))
def test_no_plan_breaks_the_safe_rules(answers: tuple[Fact | None, ...]) -> None:
    """Whatever is answered: nothing forbidden is a step, nothing locked is open, each fix stands in one place."""
    judged = judge(CELLAR, "haze", [fact for fact in answers if fact])
    plan, base = judged.plan, CELLAR.base
    everywhere = names((*plan.steps, *plan.others, *plan.locked, *plan.forbidden))
    assert len(everywhere) == len(set(everywhere))
    confirmed = {standing.cause for standing in judged.standings if standing.word == "confirmed"}
    for item in (*plan.steps, *plan.others):
        assert not item.forbidden_by and "forbidden" not in judged.facts[f"fix.{item.fix}"]
        if base.fixes[item.fix].can_be_undone == "no":
            by_rule = any(reason.rule.startswith("rule/") for reason in item.offered_by)
            assert by_rule or confirmed & {serve.cause for serve in item.serves}
    shown = {item.caution for item in plan.cautions}
    for item in plan.steps:
        assert set(base.fixes[item.fix].cautions) <= shown
    for proposed in plan.tests:
        assert set(base.tests[proposed.test].cautions) <= shown


# ---------------------------------------------------------------- cautions and tests


def test_cautions_come_along_with_fixes_and_tests_and_their_steps() -> None:
    """Whoever is told to do a thing is told what can hurt in doing it, with the page that says so."""
    steps = ["Stir.", {"do": "Breathe not.", "caution": "dust"}]
    pages = haze(
        fix("bentonite", can_be_undone="no", cautions="slips", steps=steps), caution("dust"), caution("slips")
    )
    shown = {item.caution: [reason.rule for reason in item.reasons] for item in plan_of(pages, FILM).cautions}
    assert shown == {
        "dust": ["caution/fix/bentonite"],
        "slips": ["caution/fix/bentonite"],
        "hot": ["caution/test/heating"],
        "glass": ["caution/test/heating"],
    }
    # A merely possible cause asks for the test, so only the cautions of the test are shown.
    assert {item.caution for item in plan_of(pages).cautions} == {"hot", "glass"}


def two_tests(first: Page, second: Page) -> list[Page]:
    """Two tests, of `a` and of `b`, that a film on the wine asks for."""
    return [
        yes_no("film"),
        yes_no("a"),
        yes_no("b"),
        first,
        second,
        cause("k", says("film", yes="confirms")),
        rule("look_closer", {"film": "yes"}, request=[first["test"], second["test"]]),
    ]


def test_tests_stand_least_work_first_and_only_while_unread() -> None:
    """The quick test before the long one; a test whose answers are all known is done."""
    pages = two_tests(
        bench_test("a_long_test", "a", hands_on="hour"), bench_test("quick_test", "b", hands_on="minutes")
    )
    assert [item.test for item in plan_of(pages, FILM).tests] == ["quick_test", "a_long_test"]
    assert [item.test for item in plan_of(pages, FILM, Fact("b", "no")).tests] == ["a_long_test"]
    assert plan_of(pages).tests == ()


def test_of_tests_that_keep_the_hands_as_long_the_one_with_less_waiting_comes_first() -> None:
    """An answer tonight is worth more than one next week."""
    pages = two_tests(
        bench_test("a_week_later", "a", waiting="days"), bench_test("b_tonight", "b", waiting="hours")
    )
    assert [item.test for item in plan_of(pages, FILM).tests] == ["b_tonight", "a_week_later"]


# ---------------------------------------------------------------- ranking and order


def test_fixes_rank_by_what_they_remove_less_what_they_cost() -> None:
    """Of fixes that work alike, the one that costs less comes first; burdens of every kind count."""
    cures = dict.fromkeys(("costly", "harmless", "lossy", "weak"), "fully") | {"weak": "partly"}
    pages = haze(
        fix("harmless"),
        fix("costly", cost="some"),
        fix("lossy", wine_loss="much"),
        fix("weak"),
        fixes=cures,
    )
    plan = plan_of(pages, FILM)
    assert names((*plan.steps, *plan.others)) == ["harmless", "costly", "lossy", "weak"]
    scores = [item.score for item in (*plan.steps, *plan.others)]
    chance = plan.steps[0].serves[0].chance
    expected = [0.95 * chance, 0.95 * chance - 0.1, 0.95 * chance - 0.25, 0.4 * chance]
    assert scores == pytest.approx(expected)


def test_what_cannot_be_undone_carries_a_burden_for_it() -> None:
    """Of two equal cures the one that can be taken back is the step."""
    pages = haze(
        fix("a_final", can_be_undone="no"), fix("b_gentle"), fixes={"a_final": "fully", "b_gentle": "fully"}
    )
    plan = plan_of(pages, FILM, Fact("heat_test", "hazier"))
    assert names(plan.steps) == ["b_gentle"] and names(plan.others) == ["a_final"]


def test_of_equal_fixes_the_page_of_the_cause_decides() -> None:
    """Of fixes worth the same the one that stands first on the page of the cause is chosen, whatever their names."""
    pages = haze(fix("b_same"), fix("a_same"), fixes={"b_same": "fully", "a_same": "fully"})
    plan = plan_of(pages, FILM)
    assert names(plan.steps) == ["b_same"] and names(plan.others) == ["a_same"]


def test_each_cause_gets_its_own_cure() -> None:
    """A fix that helps two causes a little does not push out the one that cures the surer of them."""
    pages = [
        yes_no("film"),
        yes_no("lees"),
        cause("k", says("film", yes="confirms"), fixes={"cure": "fully", "wait": "partly"}),
        cause("j", says("lees", yes="confirms"), fixes={"wait": "mostly"}),
        fix("cure", after={"wait": "Settle first."}, effort="slight"),
        fix("wait"),
    ]
    plan = plan_of(pages, FILM, Fact("lees", "yes"))
    assert names(plan.steps) == ["wait", "cure"]
    assert [(item.fix, item.after) for item in plan.order] == [("cure", "wait")]
    assert plan.steps[0].score > plan.steps[1].score


def test_steps_keep_the_order_of_work_over_the_ranking() -> None:
    """The best fix still comes second if it must follow another one that is chosen too."""
    pages = haze(
        fix("bentonite", after={"vent": "Gas first."}),
        fix("vent"),
        rule("gas", {"working": "yes"}, offer="vent"),
    )
    plan = plan_of(pages, FILM, Fact("working", "yes"))
    assert names(plan.steps) == ["vent", "bentonite"]
    assert [item.because for item in plan.order] == ["Gas first."]


def test_nothing_is_offered_for_a_cause_that_is_merely_possible() -> None:
    """With nothing known there is nothing to treat."""
    plan = plan_of(haze(fix("bentonite")))
    assert names((*plan.steps, *plan.others, *plan.locked, *plan.forbidden)) == []


# ---------------------------------------------------------------- amounts


def dosed(calculator: str, inputs: dict[str, Any], quantity: str) -> list[Page]:
    """A fix with one amount to work out."""
    compute = {"calculator": calculator, "with": inputs}
    amount = {"name": "clay", "says": "Clay", "quantity": quantity, "compute": compute}
    return haze(fix("bentonite", quantities=[amount]), number("vessel", quantity="volume"))


def test_amounts_are_worked_out_for_the_vessel_or_left_open() -> None:
    """1 g/L in 23 L is 23 g; with no vessel named, or two sizes named, the amount stays open and says why."""
    pages = dosed("bentonite_grams", {"dose_g_per_l": 1.0, "volume_l": "vessel"}, "mass")
    (amount,) = plan_of(pages, FILM, Fact("vessel", 23.0)).steps[0].amounts
    assert amount.value == pytest.approx(23.0)
    assert amount.inputs == {"dose_g_per_l": 1.0, "volume_l": 23.0}
    for facts in ([], [Fact("vessel", 23.0), Fact("vessel", 5.0)], [Fact("vessel", -1.0)]):
        (amount,) = plan_of(pages, FILM, *facts).steps[0].amounts
        assert amount.value is None
    (amount,) = plan_of(pages, FILM).steps[0].amounts
    assert amount.inputs["volume_l"] == "vessel"


def test_an_amount_of_slurry_is_given_in_the_unit_of_its_quantity() -> None:
    """A calculator that answers in mL fills a volume kept in litres: 1 g/L in 23 L of a 50 g/L slurry is 0.46 L."""
    inputs = {"dose_g_per_l": 1.0, "volume_l": "vessel", "slurry_g_per_l": 50.0}
    (amount,) = (
        plan_of(dosed("slurry_ml_for_dose", inputs, "volume"), FILM, Fact("vessel", 23.0)).steps[0].amounts
    )
    assert amount.value == pytest.approx(0.46)
