"""Read a rule base: all files of all folders, every check, then one value that later rooms can trust."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from .chains import circle_without_answer, dependencies, number_circle, order_circle
from .links.check import check_links
from .load import Located, read_items, rule_files
from .models.facts import Derived, State
from .models.kinds import AnyItem
from .models.treatments import Fix
from .problems import Place, Problem, RuleFilesWrong
from .rule_base import KIND_FIELDS, RuleBase, gather


def read_rule_base(folders: Iterable[Path]) -> RuleBase:
    """Read and check the rule files under the folders.

    Raises RuleFilesWrong with every mistake found in all files.
    """
    folders = list(folders)
    items = read_checked(folders, rule_files(folders))
    return make_rule_base((item.kind, item.id, item.item, item.place) for item in items)


def read_checked(folders: Sequence[Path], files: Sequence[Path]) -> list[Located]:
    """The items of these files, which lie under the folders, with every check passed.

    Raises RuleFilesWrong with every mistake found in all files.
    """
    items, problems = read_items(files)
    by_kind = gather(items)
    # A page that failed its own check is missing for the others; complaints about links to it would only
    # hide the real mistake, so links are checked once every page stands.
    if not problems:
        problems = [*check_links(items, by_kind, folders), *_circles(by_kind)]
    if problems:
        raise RuleFilesWrong(problems)
    return items


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


def make_rule_base(items: Iterable[tuple[str, str, AnyItem, Place]]) -> RuleBase:
    """The rule base of items that have passed every check: for each its kind, id, page and place."""
    pages: dict[str, dict[str, Any]] = {kind: {} for kind in (*KIND_FIELDS, "rule_base")}
    places: dict[tuple[str, str], Place] = {}
    for kind, name, page, place in items:
        if name not in pages[kind]:
            pages[kind][name] = page
            places[kind, name] = place
    return RuleBase(
        name=next(iter(pages["rule_base"].values())),
        places=places,
        **{field: pages[kind] for kind, field in KIND_FIELDS.items()},
    )
