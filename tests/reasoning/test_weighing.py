from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import by_hand
import pytest
from diagnose.reasoning.weigh import UNKNOWN, FindingRows, Row, Weighing, count_once, decibans_of, weigh
from hypothesis import given, settings
from hypothesis import strategies as st

CAUSES = ("a", "b", "c")
STRENGTHS = (-20.0, -13.0, -7.0, -3.0, 3.0, 7.0, 13.0, 20.0)
PRIORS = {"a": 0.1, "b": 0.05, "c": 0.2, UNKNOWN: 0.05}


def finding(
    key: str, normal: float = 0.2, nothing: bool = False, /, about: str = "", **decibans: float
) -> FindingRows:
    """A finding with one row for each named cause."""
    rows = tuple(Row(cause, 0, value, about or key) for cause, value in decibans.items())
    return FindingRows(key, "yes", normal, nothing, rows)


@st.composite
def some_findings(draw: st.DrawFn, groups: bool = True) -> list[FindingRows]:
    """Up to five findings about three causes; some share a group."""
    found = []
    for number in range(draw(st.integers(0, 5))):
        rows = []
        for cause in draw(st.lists(st.sampled_from(CAUSES), min_size=1, max_size=3, unique=True)):
            about = draw(st.sampled_from(["heat", "gas", f"f{number}"])) if groups else f"f{number}"
            rows.append(Row(cause, number, draw(st.sampled_from(STRENGTHS)), about))
        normal = draw(st.sampled_from([0.01, 0.1, 0.3, 0.7, 0.9]))
        found.append(FindingRows(f"f{number}", "yes", normal, draw(st.booleans()), tuple(rows)))
    return found


def odds_between(weighing: Weighing, one: set[str], other: set[str]) -> float:
    """How many times more likely one set of causes is than another."""
    by_set = {frozenset(causes): chance for causes, chance in weighing.sets}
    return by_set[frozenset(one)] / by_set[frozenset(other)]


# ---------------------------------------------------------------- against the longest way


@given(some_findings())
def test_the_weighing_equals_counting_every_set_by_hand(findings: list[FindingRows]) -> None:
    """The chances are those of noisy-OR over all sets of up to three causes, done again from scratch."""
    weighing = weigh(PRIORS, findings)
    assert weighing.chances == pytest.approx(by_hand.chances(PRIORS, findings), abs=1e-12)
    by_set = {frozenset(causes): chance for causes, chance in weighing.sets}
    assert by_set == pytest.approx(by_hand.chances_of_sets(PRIORS, findings), abs=1e-12)


@given(some_findings())
def test_chances_are_chances(findings: list[FindingRows]) -> None:
    """Sets of causes share exactly one whole; each cause lies between nothing and all; at least one is at work."""
    weighing = weigh(PRIORS, findings)
    assert math.fsum(chance for _, chance in weighing.sets) == pytest.approx(1, abs=1e-12)
    assert all(0 <= chance <= 1 + 1e-12 for chance in weighing.chances.values())
    assert sum(weighing.chances.values()) >= 1 - 1e-12
    assert all(1 <= len(causes) <= 3 for causes, _ in weighing.sets)


@given(some_findings(), st.randoms(use_true_random=False))
def test_the_order_of_findings_makes_no_difference(findings: list[FindingRows], chance: Any) -> None:
    """Whatever was looked at first, the verdict is the same to the last digit."""
    shuffled = list(findings)
    chance.shuffle(shuffled)
    assert weigh(PRIORS, shuffled) == weigh(PRIORS, findings)
    assert list(weigh(PRIORS, shuffled).chances) == list(weigh(PRIORS, findings).chances)


def test_most_likely_first_and_ties_by_name() -> None:
    """Causes are listed most likely first; equals stand in the order of their names."""
    chances = weigh({"b": 0.1, "a": 0.1, "c": 0.3, UNKNOWN: 0.05}, []).chances
    assert list(chances) == ["c", "a", "b", UNKNOWN]
    assert all(first >= second for first, second in pairwise(chances.values()))


# ---------------------------------------------------------------- what a mentor's words are worth


@given(some_findings(groups=False))
def test_decibans_add_up_for_one_cause_alone(findings: list[FindingRows]) -> None:
    """For one cause alone against none of the known, the mentor's strengths add up exactly: a sheet to sum."""
    weighing = weigh(PRIORS, findings)
    start = odds_between(weigh(PRIORS, []), {"a"}, {UNKNOWN})
    total = sum(row.decibans for item in findings for row in item.rows if row.cause == "a")
    gained = 10 * math.log10(odds_between(weighing, {"a"}, {UNKNOWN}) / start)
    assert gained == pytest.approx(total, abs=1e-9)


def test_nothing_known_leaves_the_priors_given_that_something_is_wrong() -> None:
    """Before anything is asked, chances are the priors, given that one to three causes are at work."""
    p = {"a": 0.1, "b": 0.05, UNKNOWN: 0.05}
    some_cause = 1 - 0.9 * 0.95 * 0.95
    expected = {cause: chance / some_cause for cause, chance in p.items()}
    assert weigh(p, []).chances == pytest.approx(expected)


def test_do_not_know_is_worth_nothing() -> None:
    """A finding that says nothing about any cause moves nothing."""
    silent = FindingRows("look", "yes", 0.2, False, ())
    shared = finding("f", a=7, b=13)
    assert weigh(PRIORS, [silent, shared]).chances == weigh(PRIORS, [shared]).chances
    assert weigh(PRIORS, [silent]).cells == ()


@given(
    st.fixed_dictionaries({}, optional={"b": st.sampled_from(STRENGTHS), "c": st.sampled_from(STRENGTHS)}),
    st.sampled_from(STRENGTHS),
    st.sampled_from([0.01, 0.1, 0.3, 0.7, 0.9]),
    st.booleans(),
)
def test_evidence_for_a_cause_never_lowers_it(
    others: dict[str, float], strength: float, normal: float, nothing: bool
) -> None:
    """A word for a cause never makes it less likely, a word against never more; whatever else the finding says."""
    without = weigh(PRIORS, [finding("f", normal, nothing, **others)])
    with_it = weigh(PRIORS, [finding("f", normal, nothing, a=strength, **others)])
    change = with_it.chances["a"] - without.chances["a"]
    assert change >= -1e-12 if strength > 0 else change <= 1e-12


@given(
    some_findings(groups=False), st.sampled_from([3.0, 7.0, 13.0, 20.0]), st.sampled_from([0.01, 0.2, 0.9])
)
def test_a_sign_of_one_cause_alone_raises_it_whatever_is_known(
    findings: list[FindingRows], strength: float, normal: float
) -> None:
    """A further finding that speaks only for one cause never lowers it."""
    before, after = weigh(PRIORS, findings), weigh(PRIORS, [*findings, finding("new", normal, a=strength)])
    assert after.chances["a"] >= before.chances["a"] - 1e-12


@given(some_findings(groups=False))
def test_stronger_words_move_further(findings: list[FindingRows]) -> None:
    """Confirms moves a cause further than strongly for, that further than for, and so on down."""
    chances = [weigh(PRIORS, [*findings, finding("new", a=strength)]).chances["a"] for strength in STRENGTHS]
    assert all(low <= high + 1e-12 for low, high in pairwise(chances))


# ---------------------------------------------------------------- causes that compete


SHARED = [7.0, 13.0, 20.0]


@given(st.sampled_from(SHARED), st.sampled_from(SHARED), st.sampled_from([0.01, 0.1, 0.3, 0.9]))
def test_a_shared_sign_is_explained_away(first: float, second: float, normal: float) -> None:
    """Once one cause that explains a sign is there, the sign says less for another cause that explains it."""
    alone = weigh(PRIORS, [finding("f", normal, a=first, b=second)])
    beside_other = odds_between(alone, {"a", "b"}, {"b"})
    beside_nothing = odds_between(alone, {"a", UNKNOWN}, {UNKNOWN})
    assert beside_other < beside_nothing
    # Other evidence for b takes the sign away from a: a becomes less likely than it was.
    with_b = weigh(PRIORS, [finding("f", normal, a=first, b=second), finding("g", normal, b=20)])
    assert with_b.chances["a"] < alone.chances["a"]
    cell = next(cell for cell in with_b.cells if cell.key == "f")
    assert decibans_of(with_b, "a", cell) < first


@given(st.sampled_from(SHARED), st.sampled_from(SHARED), st.sampled_from([0.01, 0.1, 0.3, 0.9]))
def test_signs_of_their_own_do_not_compete(first: float, second: float, normal: float) -> None:
    """Two causes with a sign each stand side by side: neither sign is worth less beside the other cause."""
    weighing = weigh(PRIORS, [finding("f", normal, a=first), finding("g", normal, b=second)])
    beside_other = odds_between(weighing, {"a", "b"}, {"b"})
    beside_nothing = odds_between(weighing, {"a", UNKNOWN}, {UNKNOWN})
    assert beside_other == pytest.approx(beside_nothing, rel=1e-9)


def test_a_sign_of_one_cause_is_not_spoiled_by_a_cause_that_does_not_bring_it() -> None:
    """One cause that explains a sign is enough; a second cause that seldom shows it takes nothing away."""
    weighing = weigh(PRIORS, [finding("f", a=13, b=-13)])
    before = weigh(PRIORS, [])
    for one, gained in (({"a"}, 13.0), ({"a", "b"}, 13.0), ({"b"}, -13.0)):
        ratio = odds_between(weighing, one, {UNKNOWN}) / odds_between(before, one, {UNKNOWN})
        assert 10 * math.log10(ratio) == pytest.approx(gained)


def test_finding_nothing_speaks_against_every_cause_that_should_have_shown() -> None:
    """No deposit speaks against each cause that leaves one, together as well as alone, whatever else it fits."""
    before = weigh(PRIORS, [])
    weighing = weigh(PRIORS, [finding("deposit", 0.7, True, a=-13, b=-7, c=3)])
    for sets, moved in (
        ({"a"}, -13.0),
        ({"b"}, -7.0),
        ({"a", "b"}, -20.0),
        ({"c"}, 3.0),
        ({"a", "c"}, -13.0),
    ):
        ratio = odds_between(weighing, sets, {UNKNOWN}) / odds_between(before, sets, {UNKNOWN})
        assert 10 * math.log10(ratio) == pytest.approx(moved)


@given(st.sampled_from([0.004, 0.02, 0.05, 0.2]))
def test_when_every_known_cause_is_excluded_something_unknown_is_left(unknown: float) -> None:
    """The program must be able to say that these rules do not know."""
    priors = {**PRIORS, UNKNOWN: unknown}
    signs = [finding(f"f{number}", 0.5, True, a=-20, b=-20, c=-20) for number in range(2)]
    chances = weigh(priors, signs).chances
    assert next(iter(chances)) == UNKNOWN
    assert chances[UNKNOWN] > 0.9


# ---------------------------------------------------------------- repeats


def test_repeats_count_once_and_the_strongest_stands_for_all() -> None:
    """Three ways of noticing the same gas are one sign; the weaker rows name the one that stands for them."""
    strong = finding("film", about="gas", a=13)
    weak = [finding("bubbles", about="gas", a=7), finding("spritz", about="gas", a=3)]
    assert weigh(PRIORS, [strong, *weak]).chances == pytest.approx(weigh(PRIORS, [strong]).chances)
    counted = {entry.finding: entry.repeats for entry in count_once([strong, *weak])}
    assert counted == {"film": None, "bubbles": "film", "spritz": "film"}


def test_a_finding_that_says_the_same_twice_is_one_sign() -> None:
    """A page with two rows about the same thing for one answer counts the stronger of them."""
    rows = (Row("a", 0, 13.0, "gas"), Row("a", 1, 7.0, "gas"))
    twice, once = (FindingRows("film", "yes", 0.1, False, rows[:count]) for count in (2, 1))
    assert weigh(PRIORS, [twice]).chances == weigh(PRIORS, [once]).chances
    assert [entry.repeats for entry in count_once([twice])] == [None, "film"]


def test_the_same_signs_of_different_things_do_add_up() -> None:
    """The test above can fail: without a shared group all three count."""
    apart = [finding("film", a=13), finding("bubbles", a=7), finding("spritz", a=3)]
    gained = odds_between(weigh(PRIORS, apart), {"a"}, {UNKNOWN}) / odds_between(
        weigh(PRIORS, []), {"a"}, {UNKNOWN}
    )
    assert 10 * math.log10(gained) == pytest.approx(23)


def test_contradictory_rows_of_one_group_both_count() -> None:
    """A sign for and a sign against from the same thing contradict each other; neither hides the other."""
    both = [finding("hazier", about="heat", a=13), finding("unchanged", about="heat", a=-7)]
    ratio = odds_between(weigh(PRIORS, both), {"a"}, {UNKNOWN}) / odds_between(
        weigh(PRIORS, []), {"a"}, {UNKNOWN}
    )
    assert 10 * math.log10(ratio) == pytest.approx(6)
    assert all(entry.repeats is None for entry in count_once(both))


def test_a_group_is_counted_for_each_cause_by_itself() -> None:
    """Of one group, one cause may take its weight from one finding and another cause from another."""
    both = [finding("f", about="gas", a=13, b=3), finding("g", about="gas", a=3, b=13)]
    before = weigh(PRIORS, [])
    for cause in ("a", "b"):
        ratio = odds_between(weigh(PRIORS, both), {cause}, {UNKNOWN}) / odds_between(
            before, {cause}, {UNKNOWN}
        )
        assert 10 * math.log10(ratio) == pytest.approx(13)


@given(some_findings())
def test_of_each_group_and_direction_exactly_one_row_counts(findings: list[FindingRows]) -> None:
    """Whatever repeats, one row of each cause, group and direction counts, and it is a strongest one."""
    counted = count_once(findings)
    groups: dict[tuple[str, str, bool], list[tuple[float, bool]]] = {}
    for entry in counted:
        row = entry.row
        groups.setdefault((row.cause, row.about, row.decibans > 0), []).append(
            (abs(row.decibans), entry.repeats is None)
        )
    assert len(counted) == sum(len(item.rows) for item in findings)
    for rows in groups.values():
        standing = [strength for strength, counts in rows if counts]
        assert standing == [max(strength for strength, _ in rows)]


@settings(max_examples=50)
@given(some_findings(groups=False))
def test_what_one_finding_did_is_the_difference_to_leaving_it_out(findings: list[FindingRows]) -> None:
    """The decibans shown beside a finding are the chances with it against the chances without it."""
    weighing = weigh(PRIORS, findings)
    for cell in weighing.cells:
        without = weigh(PRIORS, [item for item in findings if item.key != cell.key])
        for cause in CAUSES:
            here, there = weighing.chances[cause], without.chances[cause]
            expected = 10 * math.log10(here / (1 - here) / (there / (1 - there)))
            # A chance so near to nothing or all has few digits left that tell it from them.
            digits = 1e-14 / min(here, 1 - here, there, 1 - there)
            assert decibans_of(weighing, cause, cell) == pytest.approx(expected, abs=1e-6 + digits)
