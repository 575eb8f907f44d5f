from __future__ import annotations

from itertools import permutations

from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.order import Constraint, constraints, in_order
from hypothesis import given
from hypothesis import strategies as st
from made_bases import Page, base_of, fix

NAMES = ("acid", "bentonite", "chill", "enzyme", "filter", "rack")


@st.composite
def works(draw: st.DrawFn) -> tuple[RuleBase, dict[str, set[str]], list[str]]:
    """Fixes with random order constraints and no circle, and some of them chosen, best first."""
    ranked = draw(st.permutations(NAMES))
    before = {
        name: set(draw(st.lists(st.sampled_from(ranked[:place]), max_size=2))) if place else set()
        for place, name in enumerate(ranked)
    }
    base = base_of(*(fix(name, after={first: f"{first} first." for first in before[name]}) for name in NAMES))
    return base, before, draw(st.lists(st.sampled_from(NAMES), unique=True, max_size=6))


def must_come_before(before: dict[str, set[str]], name: str) -> set[str]:
    """Everything that comes before a fix, through any number of others."""
    found = set(before[name])
    while more := {far for near in found for far in before[near]} - found:
        found |= more
    return found


def kept(order: tuple[str, ...], before: dict[str, set[str]]) -> bool:
    """Whether no fix comes before one that it must follow."""
    return not any(
        later in must_come_before(before, earlier)
        for place, earlier in enumerate(order)
        for later in order[place + 1 :]
    )


@given(works())
def test_every_order_constraint_is_kept(work: tuple[RuleBase, dict[str, set[str]], list[str]]) -> None:
    """Enzyme before bentonite and bentonite before cold means enzyme before cold, even with no bentonite."""
    base, before, chosen = work
    ordered = in_order(base, chosen)
    assert sorted(ordered) == sorted(chosen)
    assert kept(ordered, before)


@given(works())
def test_where_the_order_is_free_the_best_comes_first(
    work: tuple[RuleBase, dict[str, set[str]], list[str]],
) -> None:
    """Of all orders that keep the constraints, the one that stays closest to best-first is taken."""
    base, before, chosen = work
    # `permutations` goes from the order as given outwards, so the first that is allowed is the closest.
    closest = next(order for order in permutations(chosen) if kept(order, before))
    assert in_order(base, chosen) == closest


@given(works())
def test_the_constraints_shown_tell_the_whole_order(
    work: tuple[RuleBase, dict[str, set[str]], list[str]],
) -> None:
    """Every pair that has an order can be read from the constraints listed, and no pair that has none."""
    base, before, chosen = work
    listed: dict[str, set[str]] = {name: set() for name in chosen}
    for found in constraints(base, chosen):
        listed[found.fix].add(found.after)
    for name in chosen:
        assert must_come_before(listed, name) == must_come_before(before, name) & set(chosen)


def test_a_constraint_through_a_fix_not_chosen_gives_all_the_reasons() -> None:
    """The person sees why filtering waits for the enzyme although no fining lies between."""
    base = base_of(
        fix("enzyme"),
        fix("bentonite", after={"enzyme": "Clay takes the enzyme out."}),
        fix("filter", after={"bentonite": "Clay blocks a filter."}),
    )
    assert constraints(base, ["filter", "enzyme"]) == (
        Constraint("filter", "enzyme", "Clay blocks a filter. Clay takes the enzyme out.", ("judgement",)),
    )
    assert [(found.fix, found.after) for found in constraints(base, ["bentonite", "enzyme", "filter"])] == [
        ("bentonite", "enzyme"),
        ("filter", "bentonite"),
    ]


def test_free_fixes_stay_as_given() -> None:
    """Without constraints the ranking is the order of work."""
    base = base_of(*(fix(name) for name in NAMES))
    assert in_order(base, ["rack", "acid", "filter"]) == ("rack", "acid", "filter")
    assert constraints(base, NAMES) == ()


def order(name: str, first: str, then: str) -> Page:
    """A general order between two fixes."""
    return {"order": name, "first": first, "then": then, "because": f"{name}.", "source": "judgement"}


def test_a_general_order_counts_between_fixes_that_are_both_chosen() -> None:
    """The last heat test follows every fining, if there is one, and is named with its reason."""
    base = base_of(fix("fine"), fix("test_last"), order("last", "fine", "test_last"))
    assert in_order(base, ["test_last", "fine"]) == ("fine", "test_last")
    assert constraints(base, ["test_last", "fine"]) == (
        Constraint("test_last", "fine", "last.", ("judgement",)),
    )


def test_a_general_order_passes_through_no_fix_that_is_not_chosen() -> None:
    """A test that comes before a fining which nobody does need not come before the last test."""
    base = base_of(
        fix("test_again"),
        fix("fine", after={"test_again": "Know first."}),
        fix("test_last"),
        order("last", "fine", "test_last"),
    )
    assert in_order(base, ["test_last", "test_again"]) == ("test_last", "test_again")
    assert in_order(base, ["test_last", "fine", "test_again"]) == ("test_again", "fine", "test_last")


def test_a_fix_that_is_not_chosen_hides_no_other_that_is() -> None:
    """The last test follows the cold although the fining, which would come before it too, is not done."""
    base = base_of(
        fix("cold"),
        fix("fine"),
        fix("test_last"),
        order("a_first", "fine", "test_last"),
        order("b_then", "cold", "test_last"),
    )
    for left_out, chosen in (("fine", "cold"), ("cold", "fine")):
        assert [found.after for found in constraints(base, ["test_last", chosen])] == [chosen], left_out
