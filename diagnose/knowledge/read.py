"""Read a rule base: all files of all folders, every check, then one value that later rooms can trust."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

from .chains import all_follows, circle_without_answer, dependencies, number_circle, order_circle
from .links.check import check_links
from .load import NOTHING_ELSE, Located, read_items, rule_files
from .models.causes import Cause
from .models.facts import Derived, State
from .models.kinds import AnyItem
from .models.plans import Apart, Order
from .models.treatments import Fix
from .problems import Place, Problem, RuleFilesWrong
from .rule_base import KIND_FIELDS, RuleBase, gather


def read_rule_base(folders: Iterable[Path], instead: Mapping[Path, str] = NOTHING_ELSE) -> RuleBase:
    """Read and check the rule files under the folders.

    `instead` holds the text of files, new ones too, that is taken in the place of what is on the disk.
    Raises RuleFilesWrong with every mistake found in all files.
    """
    folders = list(folders)
    files = rule_files(folders)
    items = read_checked(folders, [*files, *(path for path in instead if path not in files)], instead)
    return make_rule_base(map(as_checked, items))


def read_checked(
    folders: Sequence[Path], files: Sequence[Path], instead: Mapping[Path, str] = NOTHING_ELSE
) -> list[Located]:
    """The items of these files, which lie under the folders, with every check passed.

    Raises RuleFilesWrong with every mistake found in all files.
    """
    items, problems = read_items(files, instead)
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
    follows = all_follows(_pages(by_kind, "fix"), _pages(by_kind, "order"), _pages(by_kind, "apart"))
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
            order_circle(follows),
            by_kind["fix"],
            "these fixes must each come after the next, in a circle",
            "Take one `comes_after` out, or one name out of an `order` or `apart`.",
        ),
    ):
        if circle:
            first = pages[circle[0]]
            see = _written(circle, by_kind) if pages is by_kind["fix"] else ""
            yield first.problem((first.kind,), f"{what}: {' → '.join(circle)}.{see}", mend)


def _written(circle: Sequence[str], by_kind: Mapping[str, Mapping[str, Located]]) -> str:
    """Where each order of a circle of fixes is written."""
    places = dict.fromkeys(_order_place(later, first, by_kind) for later, first in pairwise(circle))
    return f" Written at {', '.join(f'{place.file}:{place.line}' for place in places)}."


def _order_place(later: str, first: str, by_kind: Mapping[str, Mapping[str, Located]]) -> Place:
    """The page that says that one fix comes after another: its own, or one of order, or of what is kept apart."""
    fix = by_kind["fix"][later]
    for located in (*by_kind["order"].values(), *by_kind["apart"].values()):
        page = located.item
        if isinstance(page, Order) and later in page.then and first in page.first:
            return located.place
        if isinstance(page, Apart) and page.days is not None and (page.yields, page.other) == (later, first):
            return located.place
    return fix.place


def _pages(by_kind: Mapping[str, Mapping[str, Located]], kind: str) -> dict[str, Any]:
    return {name: located.item for name, located in by_kind[kind].items()}


@dataclass(frozen=True)
class Checked:
    """A page that has passed every check, with its place and that of each row, rule or `never_when` in it."""

    kind: str
    id: str
    page: AnyItem
    place: Place
    rows: tuple[Place, ...] = ()


def as_checked(located: Located) -> Checked:
    """An item without the text of its file."""
    page = located.item
    key, entries = _rows(page)
    places = tuple(located.document.place((*located.path, key, number)) for number in range(entries))
    return Checked(located.kind, located.id, page, located.place, places)


def _rows(page: AnyItem) -> tuple[str, int]:
    """The key under which a page keeps its rows or rules, and how many there are."""
    if isinstance(page, Cause):
        return "evidence", len(page.evidence)
    if isinstance(page, State):
        return "rules", len(page.rules)
    return "never_when", len(page.never_when) if isinstance(page, Fix) else 0


def make_rule_base(items: Iterable[Checked]) -> RuleBase:
    """The rule base of pages that have passed every check; of pages with one name the first counts."""
    pages: dict[str, dict[str, Any]] = {kind: {} for kind in (*KIND_FIELDS, "rule_base")}
    places: dict[tuple[str, str], Place] = {}
    rows: dict[tuple[str, str], tuple[Place, ...]] = {}
    for item in items:
        if item.id not in pages[item.kind]:
            pages[item.kind][item.id] = item.page
            places[item.kind, item.id] = item.place
            rows[item.kind, item.id] = item.rows
    return RuleBase(
        name=next(iter(pages["rule_base"].values())),
        places=places,
        evidence_places={name: rows["cause", name] for name in pages["cause"]},
        rule_places={page: rows[page] for page in rows if page[0] in ("state", "fix")},
        **{field: pages[kind] for kind, field in KIND_FIELDS.items()},
    )
