"""Conditions: fact names known, and each test of a kind that the fact can pass."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from diagnose.units import canonical_unit

from ..conditions import Condition, FactTest
from ..load import Located
from ..models.vocabulary import Limit
from ..problems import Problem, nearest
from ..yaml_reader import Path_
from .names import Names, check_word, is_number, is_several

CONCLUDED: Mapping[str, tuple[str, ...]] = {
    "cause": ("unlikely", "possible", "likely", "confirmed"),
    "test": ("requested", "withheld"),
    "fix": ("offered", "forbidden"),
    "caution": ("shown",),
}
"""What the machinery itself concludes about pages, by the prefix of the fact's name."""

GIVEN: Mapping[str, tuple[str, str, tuple[str, ...]]] = {
    "done": ("fix", "a fix", ("begun", "unchecked", "good", "not_good", "unsure"))
}
"""What a case tells about pages, by the prefix: the kind of page and how it can stand. It may be read anywhere."""

UNKNOWN_CAUSE = "cause.unknown"
"""Something these rules do not know: always among the causes, without a page."""

_NUMBERS = ("at_least", "above", "at_most", "below")
_LIMITS = ("over_limit", "within_limit", "room")
_SEVERAL = ("includes", "includes_any", "includes_none")


def check_condition(
    located: Located,
    path: Path_,
    condition: Condition | None,
    names: Names,
    concluded: bool = False,
    limited: bool = False,
) -> Iterator[Problem]:
    """Fact names known, and each test of a kind that the fact can pass.

    `concluded`: what was concluded about pages may be read. `limited`: limits of the law may be compared with.
    """
    if condition is None:
        return
    if not needs_something_known(condition):
        what = "this condition asks only that things be unknown."
        yield located.problem(path, what, "Add at least one fact that must be known.")
    if concluded:
        yield from _unknown_pages(located, path, condition)
    for inner, name, test in _leaves(condition, path):
        yield from _fact_name(located, inner, name, names, concluded)
        if test is not None:
            yield from _fact_test(located, inner, name, test, names)
            yield from _limit_test(located, inner, name, test, names, limited)


def needs_something_known(condition: Condition, negated: bool = False) -> bool:
    """Whether the condition cannot hold while nothing is known; under `not`, known and unknown change places."""
    inside = [needs_something_known(inner, negated) for inner in condition.any_]
    parts = [True] * len(condition.facts)
    parts += [not negated] * len(condition.known) + [negated] * len(condition.unknown)
    parts += [needs_something_known(inner, negated) for inner in condition.all_]
    if inside:
        parts.append(any(inside) if negated else all(inside))
    if condition.not_:
        parts.append(needs_something_known(condition.not_, not negated))
    return all(parts) if negated else any(parts)


def _unknown_pages(located: Located, path: Path_, condition: Condition) -> Iterator[Problem]:
    """What is concluded about pages is never `unknown`: that would depend on the order of the rules."""
    for inner, name, test in _leaves(condition, path):
        if test is not None or "." not in name or name.partition(".")[0] in GIVEN:
            continue
        negated = inner.count("not") % 2 == 1
        if inner[-2] == ("known" if negated else "unknown"):
            words = CONCLUDED.get(name.partition(".")[0], ("likely",))
            mend = f"Ask what has been concluded, for example `{name}: {words[0]}`."
            yield located.problem(inner, f"'{name}' cannot be asked to be unknown.", mend)


def _leaves(condition: Condition, path: Path_) -> Iterator[tuple[Path_, str, FactTest | None]]:
    for name, test in condition.facts.items():
        yield (*path, name), name, test
    for key, names in (("known", condition.known), ("unknown", condition.unknown)):
        for index, name in enumerate(names):
            yield (*path, key, index), name, None
    for key, inners in (("all", condition.all_), ("any", condition.any_)):
        for index, inner in enumerate(inners):
            yield from _leaves(inner, (*path, key, index))
    if condition.not_:
        yield from _leaves(condition.not_, (*path, "not"))


def _fact_name(located: Located, path: Path_, name: str, names: Names, concluded: bool) -> Iterator[Problem]:
    if "." not in name:
        if names.observable(name) is None:
            what = f"'{name}' is not an observation, a state or a derived number."
            yield located.problem(path, what, nearest(name, names.observables), key=True)
        return
    kind, _, page = name.partition(".")
    if kind in GIVEN:
        pages = names.known(GIVEN[kind][0])
        if page not in pages:
            what = f"'{page}' is not {GIVEN[kind][1]} that these rules know."
            yield located.problem(path, what, nearest(page, pages), key=True)
    elif not concluded:
        what = f"'{name}' is concluded after the weighing, so it cannot be read here."
        yield located.problem(path, what, "Only rules and fixes may read it.", key=True)
    elif kind not in CONCLUDED:
        yield located.problem(
            path, f"'{kind}.' is not known before a dot.", nearest(kind, CONCLUDED), key=True
        )
    elif page not in names.known(kind) and name != UNKNOWN_CAUSE:
        yield located.problem(
            path, f"'{page}' is not a known {kind}.", nearest(page, names.known(kind)), key=True
        )


def _fact_test(located: Located, path: Path_, name: str, test: FactTest, names: Names) -> Iterator[Problem]:
    parts = test.parts()
    observable = names.observable(name)
    if "." in name:
        kind = name.partition(".")[0]
        if kind not in CONCLUDED and kind not in GIVEN:
            return
        allowed: tuple[str, ...] = GIVEN[kind][2] if kind in GIVEN else CONCLUDED[kind]
    elif observable is None:
        return
    else:
        allowed = observable.answers
    for key, value in parts.items():
        if key in _LIMITS:
            continue
        if key in _NUMBERS and not is_number(observable):
            yield located.problem(
                (*path, key), f"'{name}' is not a number.", "Use `is` or `one_of`.", key=True
            )
        elif key in _SEVERAL and not is_several(observable):
            mend = "Use `is` or `one_of`; `includes` is for questions with several answers."
            yield located.problem((*path, key), f"'{name}' has one answer.", mend, key=True)
        elif key not in _NUMBERS + _SEVERAL and (is_number(observable) or is_several(observable)):
            fitting = ", ".join(_NUMBERS if is_number(observable) else _SEVERAL)
            what = f"'{name}' cannot be compared with `{key}`."
            yield located.problem((*path, key), what, f"Use one of: {fitting}.", key=True)
        elif key not in _NUMBERS:
            for index, word in enumerate((value,) if isinstance(value, str) else value):
                yield from check_word(located, (*path, key, index), word, allowed, f"an answer of '{name}'")


def _limit_test(
    located: Located, path: Path_, name: str, test: FactTest, names: Names, limited: bool
) -> Iterator[Problem]:
    """What is compared with a limit is a number in the unit of that limit, and a state does the comparing."""
    of = test.limited()
    if of is None:
        return
    key = "over_limit" if test.over_limit else "within_limit"
    if not limited:
        what = "only the rules of a state can compare with a limit of the law."
        yield located.problem(
            (*path, key), what, "Conclude a state from it, and read that state here.", key=True
        )
        return
    limits = [page.item for page in names.known("limit").values() if isinstance(page.item, Limit)]
    limits = [limit for limit in limits if limit.of]
    yield from check_word(
        located, (*path, key), of, {str(limit.of) for limit in limits}, "what a limit is `of`"
    )
    observable = names.observable(name)
    if not is_number(observable):
        what = f"'{name}' is not a number."
        yield located.problem((*path, key), what, "Compare a number with the limit.", key=True)
        return
    unit = canonical_unit(str(getattr(observable, "quantity", "")))
    other = next((limit for limit in limits if limit.of == of and limit.unit != unit), None)
    if other:
        what = f"'{name}' is in {unit}, and the limit '{other.limit}' is in {other.unit}."
        yield located.problem((*path, key), what, "Compare with a limit in the same unit.", key=True)
