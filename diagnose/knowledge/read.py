"""Read a rule base: all files of all folders, every check, then one value that later rooms can trust."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from .chains import circle_without_answer, dependencies, number_circle, order_circle
from .links.check import check_links
from .load import Located, read_items, rule_files
from .models.causes import Cause
from .models.facts import Derived, State
from .models.treatments import Fix
from .models.vocabulary import RuleBaseName
from .problems import Place, Problem, RuleFilesWrong
from .rule_base import KIND_FIELDS, RuleBase, gather


def read_rule_base(folders: Iterable[Path]) -> RuleBase:
    """Read and check the rule files under the folders.

    Raises RuleFilesWrong with every mistake found in all files.
    """
    folders = list(folders)
    items, problems = read_items(rule_files(folders))
    by_kind = gather(items)
    # A page that failed its own check is missing for the others; complaints about links to it would only
    # hide the real mistake, so links are checked once every page stands.
    if not problems:
        problems = [*check_links(items, by_kind, folders), *_circles(by_kind)]
    if problems:
        raise RuleFilesWrong(problems)
    return _rule_base(by_kind)


def _circles(by_kind: Mapping[str, Mapping[str, Located]]) -> Iterator[Problem]:
    states: dict[str, State] = _pages(by_kind, "state")
    derived: dict[str, Derived] = _pages(by_kind, "derive")
    fixes: dict[str, Fix] = _pages(by_kind, "fix")
    facts = {**by_kind["state"], **by_kind["derive"]}
    for circle, pages, what, mend in (
        (number_circle(derived), facts, "this number needs itself", "Take one of the steps out."),
        (
            circle_without_answer(dependencies(states, derived)),
            facts,
            "whether this is known depends on its being unknown",
            "Take the `unknown` out of one of the rules.",
        ),
        (
            order_circle(fixes),
            by_kind["fix"],
            "these fixes must each come after the next, in a circle",
            "Take one `comes_after` out.",
        ),
    ):
        if circle:
            first = pages[circle[0]]
            yield first.problem((first.kind,), f"{what}: {' → '.join(circle)}.", mend)


def _pages(by_kind: Mapping[str, Mapping[str, Located]], kind: str) -> dict[str, Any]:
    return {name: located.item for name, located in by_kind[kind].items()}


def _rule_base(by_kind: Mapping[str, Mapping[str, Located]]) -> RuleBase:
    name = next(iter(by_kind["rule_base"].values())).item
    assert isinstance(name, RuleBaseName)
    places = {
        (kind, page): located.place for kind, pages in by_kind.items() for page, located in pages.items()
    }
    return RuleBase(
        name=name,
        places=places,
        evidence_places={name: _evidence_places(cause) for name, cause in by_kind["cause"].items()},
        **{field: _pages(by_kind, kind) for kind, field in KIND_FIELDS.items()},
    )


def _evidence_places(cause: Located) -> tuple[Place, ...]:
    assert isinstance(cause.item, Cause)
    return tuple(
        cause.document.place((*cause.path, "evidence", number)) for number in range(len(cause.item.evidence))
    )
