"""Small invented rule bases for the tests of the engine, the weighing and the plan.

Pages are written as the mappings a rule file holds, with the keys no test cares about filled in.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from diagnose.knowledge.models.kinds import KINDS
from diagnose.knowledge.problems import Place
from diagnose.knowledge.rule_base import KIND_FIELDS, RuleBase

Page = dict[str, Any]

WORDS: Mapping[str, Mapping[str, float]] = {
    "strength": {
        "slightly_for": 3,
        "for": 7,
        "strongly_for": 13,
        "confirms": 20,
        "slightly_against": -3,
        "against": -7,
        "strongly_against": -13,
        "excludes": -20,
    },
    "how_common": {"common": 0.1, "occasional": 0.05, "rare": 0.01},
    "normally": {"usual": 60, "often": 30, "sometimes": 10, "seldom": 3, "hardly_ever": 1},
    "effort": {"glance": 1, "minutes": 5, "hour": 60},
    "waiting": {"none": 0, "hours": 5, "days": 30},
    "how_well": {"fully": 0.95, "mostly": 0.75, "partly": 0.4},
    "burden": {"none": 0, "slight": 0.04, "some": 0.1, "much": 0.25},
    "slips": {"an_answer": 0.03},
    "standing": {"likely": 0.5, "possible": 0.08, "unlikely": 0},
    "asking": {
        "a_question": 3,
        "least_gain": 0.02,
        "least_worth": 0.005,
        "start_early": 0.15,
        "a_long_wait": 15,
        "stay_with": 0.7,
        "a_cheap_sign": 15,
    },
}


def shared_pages() -> list[Page]:
    """What every base needs: its name, a source, the words and one topic."""
    words = [
        {"words": name, "about": "a.", "values": dict(values), "because": "b.", "source": "judgement"}
        for name, values in WORDS.items()
    ]
    return [
        {"rule_base": "made_for_tests", "version": "0.0.1", "about": "Invented."},
        {"source": "judgement", "title": "Invented for a test", "seen": "judgement"},
        {
            "topic": "haze",
            "name": "Haze",
            "complaint": "It is not clear.",
            "opening": [],
            "unknown_cause": "Something else.",
            "how_common_unknown": "occasional",
            "if_unknown": "Ask a laboratory.",
        },
        *words,
    ]


def _observation(name: str, kind: str, more: Page) -> Page:
    page = {"observe": name, "ask": "Is it so?", "short": name, "kind": kind, "why": "w.", "how": "h."}
    return {**page, "effort": "glance", "group": "look", **more}


def yes_no(name: str, **more: Any) -> Page:
    """A question with yes or no."""
    return _observation(name, "yes_no", more)


def choice(name: str, *answers: str, **more: Any) -> Page:
    """A question with one answer of several."""
    return _observation(name, "choice", {"choices": {answer: answer for answer in answers}, **more})


def several(name: str, *answers: str, **more: Any) -> Page:
    """A question with any number of answers."""
    return _observation(name, "several", {"choices": {answer: answer for answer in answers}, **more})


def number(name: str, bands: Mapping[str, float | None] | None = None, **more: Any) -> Page:
    """A measured number; each band is given by its start."""
    page = {"quantity": "turbidity", "plausible": [0, 100], **more}
    return _observation(name, "number", {**page, **_bands(bands)})


def _bands(bands: Mapping[str, float | None] | None) -> Page:
    if not bands:
        return {}
    return {
        "bands": {
            name: {"says": name} if starts is None else {"starts": starts, "says": name}
            for name, starts in bands.items()
        }
    }


def state(name: str, *rules: tuple[str, Page], **more: Any) -> Page:
    """A state of the wine: each rule is a value and the condition for it."""
    values = {value: value for value, _ in rules}
    written = [{"is": value, "when": when, "because": "b.", "source": "judgement"} for value, when in rules]
    return {"state": name, "name": name, "values": values, "rules": written, **more}


def derive(
    name: str,
    calculator: str,
    inputs: Mapping[str, str | float],
    bands: Mapping[str, float | None] | None = None,
    **more: Any,
) -> Page:
    """A derived number."""
    page = {"derive": name, "name": name, "quantity": "turbidity", "because": "b.", "source": "judgement"}
    compute = {"calculator": calculator, "with": dict(inputs)}
    return {**page, "compute": compute, **_bands(bands), **more}


def says(observe: str, about: str | None = None, **answers: str) -> Page:
    """An evidence row by answer."""
    row: Page = {"observe": observe, "says": answers, "because": "b.", "source": "judgement"}
    return {**row, "about": about} if about else row


def speaks_when(when: Page, weight: str, about: str | None = None) -> Page:
    """An evidence row by condition."""
    row: Page = {"when": when, "weight": weight, "because": "b.", "source": "judgement"}
    return {**row, "about": about} if about else row


def cause(name: str, *evidence: Page, fixes: Mapping[str, str] | None = None, **more: Any) -> Page:
    """A cause with its evidence and the fixes that cure it."""
    cures = [
        {"fix": fix, "how_well": word, "because": f"{fix} cures."} for fix, word in (fixes or {}).items()
    ]
    page = {"cause": name, "name": name, "topic": "haze", "summary": "s.", "how_common": "common"}
    page |= {"common_because": "b.", "common_source": "judgement", "review": {"status": "draft"}}
    return {**page, "evidence": list(evidence), "cured_by": cures, **more}


def bench_test(name: str, *yields: str, **more: Any) -> Page:
    """A bench test that answers the named observations."""
    page = {"test": name, "name": name, "purpose": "p.", "yields": list(yields), "where": "cellar"}
    page |= {"hands_on": "minutes", "waiting": "none", "equipment": [], "steps": ["Do it."], "reading": "r."}
    return {**page, "source": "judgement", **more}


def fix(name: str, *, after: Mapping[str, str] | None = None, **more: Any) -> Page:
    """A fix; `after` names fixes that come first, with the reason."""
    check = {"after": "a day", "do": "Look.", "good": "Clear.", "if_not": "Wait."}
    page = {
        "fix": name,
        "name": name,
        "does": "d.",
        "can_be_undone": "yes",
        "steps": ["Do it."],
        "cautions": [],
    }
    page |= dict.fromkeys(("effort", "cost", "wine_loss", "flavour_harm"), "none")
    follows = [{"fix": f, "because": why, "source": "judgement"} for f, why in (after or {}).items()]
    page |= {"check": check, "if_it_fails": "Ask.", "source": "judgement", "comes_after": follows}
    return {**page, **more}


def caution(name: str) -> Page:
    """A caution."""
    return {"caution": name, "says": "Take care.", "harms": "person", "source": "judgement"}


def rule(name: str, when: Page, **more: Any) -> Page:
    """A free rule."""
    return {"rule": name, "when": when, "because": f"{name} says so.", "source": "judgement", **more}


def base_of(*pages: Page) -> RuleBase:
    """The rule base of these pages and the shared ones; later checks between pages are not run."""
    by_kind: dict[str, dict[str, Any]] = {kind: {} for kind in (*KIND_FIELDS, "rule_base")}
    for page in (*shared_pages(), *pages):
        kind = next(iter(page))
        by_kind[kind][page[kind]] = KINDS[kind].model_validate(page)
    places = {(kind, name): Place(f"{name}.yaml") for kind, found in by_kind.items() for name in found}
    return RuleBase(
        name=by_kind["rule_base"]["made_for_tests"],
        places=places,
        evidence_places={
            name: tuple(Place(f"{name}.yaml") for _ in cause.evidence)
            for name, cause in by_kind["cause"].items()
        },
        **{field: by_kind[kind] for kind, field in KIND_FIELDS.items()},
    )


def cellar_pages() -> list[Page]:
    """One small invented cellar that uses every kind of page; it passes every check of the loader."""
    return [
        yes_no("bubbles", normally={"yes": "seldom"}),
        yes_no("recently_fined"),
        choice("colour", "white", "red"),
        several("smells", "vinegar", "yeast", "clean", nothing="clean"),
        number("heated", {"low": None, "high": 20}),
        number("unheated"),
        choice("heat_test", "hazier", "unchanged", nothing="unchanged"),
        derive(
            "rise",
            "turbidity_rise",
            {"heated_ntu": "heated", "unheated_ntu": "unheated"},
            {"small": None, "large": 2},
            nothing="small",
        ),
        state("working", ("yes", {"bubbles": "yes"}), ("no", {"bubbles": "no"})),
        state("settled", ("yes", {"working": "no", "unknown": "recently_fined"})),
        cause(
            "protein_haze",
            says("heat_test", about="heating", hazier="strongly_for", unchanged="strongly_against"),
            says("rise", about="heating", large="strongly_for", small="against"),
            says("colour", white="slightly_for", red="against"),
            fixes={"bentonite": "fully", "wait": "partly"},
            confirmed_by=[{"observe": "heat_test", "answers": "hazier"}],
        ),
        cause(
            "yeast_haze",
            says("working", yes="for", no="against"),
            says("smells", yeast="for", vinegar="slightly_against", clean="slightly_against"),
            speaks_when({"bubbles": "yes", "colour": {"one_of": ["white", "red"]}}, "slightly_for"),
            fixes={"wait": "mostly"},
        ),
        cause(
            "fining_haze",
            says("recently_fined", yes="for", no="excludes"),
            speaks_when({"unknown": "bubbles", "recently_fined": "yes"}, "slightly_for"),
            fixes={"counter_fine": "mostly"},
            how_common="rare",
        ),
        bench_test("heating", "heat_test", cautions="hot_glass", hands_on="hour", waiting="hours"),
        fix("bentonite", can_be_undone="no", cautions="dusty", after={"wait": "Let it settle first."}),
        fix("wait", effort="slight"),
        fix(
            "counter_fine",
            cautions="allergen",
            never_when=[{"when": {"working": "yes"}, "because": "It works.", "source": "judgement"}],
        ),
        caution("hot_glass"),
        caution("dusty"),
        caution("allergen"),
        rule("gas_rises", {"working": "yes"}, warn="allergen", offer="wait"),
    ]
