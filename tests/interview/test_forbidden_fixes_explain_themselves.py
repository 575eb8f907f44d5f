"""Whoever asks for a forbidden fix by its name is told why not: in the plan, by `steps` and by `why`."""

from __future__ import annotations

import io
from collections.abc import Iterator
from itertools import islice, product
from pathlib import Path

import pytest
from at_the_table import CELLAR, Listed
from diagnose.casebook.store import OpenCase, new_case, open_case
from diagnose.engine.compile import EngineRule
from diagnose.engine.facts import Fact, Value
from diagnose.engine.truth import Branch, Leaf
from diagnose.interview.session import Consultation
from diagnose.interview.talk import Talk
from diagnose.judgement.judge import Judged, judge
from diagnose.knowledge.links.conditions import CONCLUDED, GIVEN
from diagnose.knowledge.models.facts import Observation
from diagnose.present.console import Page
from rich.console import Console

FORBIDDING = [rule for rule in CELLAR.rules.values() if rule.id.startswith("never/") or "/forbid_" in rule.id]
"""Every rule that forbids a fix: those of the fix itself, and those a mentor wrote by themselves."""

each_rule = pytest.mark.parametrize("rule", FORBIDDING, ids=lambda rule: rule.id)


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OpenCase]:
    """A case on disk, in which nothing has been answered."""
    folder: Path = tmp_path_factory.mktemp("cases")
    with open_case(new_case(folder, "Invented", ("haze",), "metric", CELLAR.base), CELLAR.base) as case:
        yield case


@each_rule
def test_forbidden_fix_gives_its_reason(rule: EngineRule, record: OpenCase) -> None:
    """In a wine where this rule holds, each fix it forbids is listed as forbidden, with the reason of this rule."""
    judged = judged_where_it_holds(rule)
    forbidden = {item.fix: item for item in judged.plan.forbidden}
    fixes = [name.removeprefix("fix.") for name in rule.concludes]
    for fix in fixes:
        assert rule.because in [reason.says for reason in forbidden[fix].forbidden_by]
        assert fix not in {
            item.fix for item in (*judged.plan.steps, *judged.plan.others, *judged.plan.locked)
        }
    # The screens are the same for every fix of a rule, so that one of them stands for all.
    said = shown(record, judged, f"steps {fixes[0]}", f"why {fixes[0]}")
    assert f"Not now: {plain(rule.because)}" in said
    assert said.count(plain(rule.because)) >= 2


def plain(text: str) -> str:
    """Text without its line ends."""
    return " ".join(text.split())


def shown(record: OpenCase, judged: Judged, *lines: str) -> str:
    """What the screen says to these lines, once this judgement has been shown."""
    screen = io.StringIO()
    page = Page(Console(file=screen, width=2000, color_system=None))
    Talk(page, Listed(lines), Consultation(CELLAR, record, _judged=judged), {}).after()
    return plain(screen.getvalue())


# ---------------------------------------------------------------- a wine in which a rule holds


def judged_where_it_holds(rule: EngineRule) -> Judged:
    """The judgement of a wine made from the conditions of a rule.

    States, derived numbers and standings are given as if the pages before had concluded them.
    """
    for branch in rule.branches:
        read = [name.removeprefix("cause.") for name in branch.names if name.startswith("cause.")]
        topic = next((CELLAR.base.causes[name].topic for name in read if name in CELLAR.base.causes), "haze")
        for facts in islice(wines(branch), 8):
            judged = judge(CELLAR, topic, facts, machine="chain")
            if any(firing.rule == rule.id for firing in judged.trace.firings):
                return judged
    raise AssertionError(f"{rule.id} never holds; its conditions may exclude one another")


def wines(branch: Branch) -> Iterator[list[Fact]]:
    """Facts that meet the conditions of a branch."""
    names = branch.names
    choices = [
        [value for value in values_of(name) if all(leaf.passes(value) for leaf in leaves_about(branch, name))]
        for name in names
    ]
    for chosen in product(*choices):
        yield [Fact(name, value) for name, value in zip(names, chosen, strict=True)]


def leaves_about(branch: Branch, name: str) -> list[Leaf]:
    """The tests of one fact."""
    return [leaf for leaf in branch.tests if leaf.name == name]


def values_of(name: str) -> list[Value]:
    """Values a fact may have: its words, sets of them, or numbers on both sides of every figure that rules name."""
    kind, _, page = name.partition(".")
    if page:
        return list(GIVEN[kind][2] if kind in GIVEN else CONCLUDED[kind])
    observable = CELLAR.base.observables[name]
    if isinstance(observable, Observation) and observable.kind == "several":
        words = observable.answers
        return [frozenset({one, other}) for one in words for other in words]
    if getattr(observable, "quantity", None):
        figures = sorted({0.0, *(float(figure) for figure in figures_about(name))})
        between = [
            (low + high) / 2 for low, high in zip(figures, [*figures[1:], figures[-1] + 2], strict=True)
        ]
        return sorted({*figures, *between, figures[0] - 1}, reverse=True)
    return list(observable.answers)


def figures_about(name: str) -> Iterator[float]:
    """Every figure that a condition compares this fact with."""
    for rule in CELLAR.rules.values():
        for branch in rule.branches:
            for leaf in leaves_about(branch, name):
                yield from (float(wanted) for operator, wanted in leaf.parts if isinstance(wanted, float))


# ---------------------------------------------------------------- wrong ways that have no fix of their own


@pytest.mark.parametrize("name", sorted(CELLAR.base.never_done))
def test_wrong_way_is_never_offered_and_explains_itself(name: str, record: OpenCase) -> None:
    """Asked for by any name people have for it, a wrong way says why not, its dangers, and what is done instead."""
    page = CELLAR.base.never_done[name]
    for asked in (name, *page.called):
        said = shown(record, judge(CELLAR, "haze", []), f"steps {asked}")
        if "Which one?" in said:
            assert name in said
        else:
            assert plain(page.because) in said
            assert all(plain(CELLAR.base.cautions[caution].says) in said for caution in page.caution)
            assert all(CELLAR.base.fixes[fix].name in said for fix in page.instead)
    assert plain(page.because) in shown(record, judge(CELLAR, "haze", []), f"why {name}")


@pytest.mark.parametrize(
    ("asked", "page"),
    [
        ("sulfite to stop", "powder_into_living_ferment"),
        ("kill the yeast", "powder_into_living_ferment"),
        ("blue fining", "ferrocyanide_at_home"),
        ("copper penny", "copper_without_trial"),
        ("second packet", "second_packet_of_yeast"),
        ("pasteurise at home", "heating_closed_bottles"),
        ("deacidify", "deacidifying_a_high_ph"),
        ("cmc in red", "gum_in_red_or_unstable"),
        ("bottle it sweet", "bottling_over_living_yeast"),
        ("urea", "urea_or_fertiliser"),
    ],
)
def test_everyday_words_find_the_wrong_way(asked: str, page: str, record: OpenCase) -> None:
    """What a tired winemaker would type leads straight to the page that explains why not."""
    said = shown(record, judge(CELLAR, "haze", []), f"steps {asked}")
    assert plain(CELLAR.base.never_done[page].because) in said


def test_campden_leads_to_the_dose_and_to_the_wrong_way(record: OpenCase) -> None:
    """Campden tablets have a right use and a wrong one; both are named, so that the person chooses."""
    said = shown(record, judge(CELLAR, "haze", []), "steps campden")
    assert "Which one?" in said
    assert "one_large_so2_addition" in said and "powder_into_living_ferment" in said
