"""Read a rule base: all files of all folders, every check, then one value that later rooms can trust."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, islice, pairwise
from pathlib import Path
from typing import Any

from diagnose.bounds import MOST_TOLD

from .base import RulePage
from .chains import all_follows, circle_without_answer, dependencies, number_circle, order_circle
from .links.check import check_links
from .load import NOTHING_ELSE, Located
from .models.causes import Cause
from .models.facts import Derived, State
from .models.kinds import AnyItem
from .models.plans import Apart, Order
from .models.treatments import Fix
from .models.vocabulary import RuleBaseName, TakenOut
from .own import (
    OwnPage,
    RuleFolders,
    TakenOutPage,
    layered_files,
    pages_that_stand,
    read_layers,
    told_of_taken_out,
)
from .problems import Place, Problem, RuleFilesWrong
from .rule_base import KIND_FIELDS, RuleBase, gather

_MOST_NAMED = 8


def read_rule_base(
    folders: Iterable[Path], own: Iterable[Path] = (), instead: Mapping[Path, str] = NOTHING_ELSE
) -> RuleBase:
    """Read and check the rule files under the folders, with a cellar's own folders on top.


    `instead` holds the text of files, new ones too, that is taken in the place of what is on the disk.
    Raises RuleFilesWrong with every mistake found in all files.
    """
    layers = RuleFolders(tuple(folders), tuple(own))
    items = read_checked(layers, layered_files(layers, instead), instead)
    return make_rule_base(map(as_checked, items))


def read_checked(
    folders: RuleFolders, files: Iterable[tuple[int, Path]], instead: Mapping[Path, str] = NOTHING_ELSE
) -> list[Located]:
    """The items of these files, which lie under the folders, with every check passed.

    Those that are replaced or taken out are among them. Raises RuleFilesWrong with every mistake found in all files.
    """
    items, problems = read_layers(files, instead)
    # A page that failed its own check is missing for the others; complaints about links to it would only
    # hide the real mistake, so links are checked once every page stands.
    problems = problems or problems_between(items, folders)
    if problems:
        raise RuleFilesWrong(problems)
    return items


def problems_between(items: Sequence[Located], folders: RuleFolders) -> list[Problem]:
    """What is wrong between pages that each stand by themselves."""
    standing, problems = pages_that_stand(items)
    by_kind = gather(standing)
    linked = islice(chain(check_links(standing, by_kind, folders), _circles(by_kind)), MOST_TOLD)
    return [*problems, *told_of_taken_out(linked, items)]


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
            yield first.problem((first.kind,), f"{what}: {_shortly(circle)}.{see}", mend)


def _shortly(circle: Sequence[str]) -> str:
    """The names of a circle; of a very long one its beginning and its end."""
    long = len(circle) > 2 * _MOST_NAMED
    names = (
        [*circle[:_MOST_NAMED], f"… ({len(circle) - 1:,} in all) …", *circle[-_MOST_NAMED:]]
        if long
        else circle
    )
    return " → ".join(names)


def _written(circle: Sequence[str], by_kind: Mapping[str, Mapping[str, Located]]) -> str:
    """Where each order of a circle of fixes is written."""
    pairs = islice(pairwise(circle), _MOST_NAMED)
    places = dict.fromkeys(_order_place(later, first, by_kind) for later, first in pairs)
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
    layer: int = 0


def as_checked(located: Located) -> Checked:
    """An item without the text of its file."""
    page = located.item
    key, entries = _rows(page)
    places = tuple(located.document.place((*located.path, key, number)) for number in range(entries))
    return Checked(located.kind, located.id, page, located.place, places, located.layer)


def _rows(page: AnyItem) -> tuple[str, int]:
    """The key under which a page keeps its rows or rules, and how many there are."""
    if isinstance(page, Cause):
        return "evidence", len(page.evidence)
    if isinstance(page, State):
        return "rules", len(page.rules)
    return "never_when", len(page.never_when) if isinstance(page, Fix) else 0


def make_rule_base(items: Iterable[Checked]) -> RuleBase:
    """The rule base of pages that have passed every check, the lowest layer first.

    Of pages of one name the first counts, unless one of a cellar's own takes its place.
    """
    items = list(items)
    names = _names_of_layers(items)
    pages: dict[str, dict[str, Any]] = {kind: {} for kind in KIND_FIELDS}
    standing: dict[tuple[str, str], Checked] = {}
    taken: list[TakenOutPage] = []
    for item in items:
        if isinstance(item.page, TakenOut):
            edition = names[item.layer].edition
            taken.append(TakenOutPage(item.page.kind, item.id, edition, item.page.because, item.place))
            del standing[item.page.kind, item.id], pages[item.page.kind][item.id]
        elif item.kind in pages and (item.id not in pages[item.kind] or _reason(item)):
            pages[item.kind][item.id] = item.page
            standing[item.kind, item.id] = item
    rows = {key: item.rows for key, item in standing.items()}
    return RuleBase(
        name=names[0],
        on_top=tuple(names[layer] for layer in sorted(names) if layer),
        own={
            key: OwnPage(names[item.layer].edition, _reason(item))
            for key, item in standing.items()
            if item.layer
        },
        taken_out=tuple(taken),
        places={key: item.place for key, item in standing.items()},
        evidence_places={name: rows["cause", name] for name in pages["cause"]},
        rule_places={key: places for key, places in rows.items() if key[0] in ("state", "fix")},
        **{field: pages[kind] for kind, field in KIND_FIELDS.items()},
    )


def _names_of_layers(items: Iterable[Checked]) -> dict[int, RuleBaseName]:
    """The first name of each layer."""
    names: dict[int, RuleBaseName] = {}
    for item in items:
        if isinstance(item.page, RuleBaseName):
            names.setdefault(item.layer, item.page)
    return names


def _reason(item: Checked) -> str | None:
    return item.page.replaces_because if isinstance(item.page, RulePage) else None
