"""A cellar's own pages on top of the rules below: what they replace, what they take out, and what is told of it.

Nothing is replaced or taken out that does not say so with a reason, and nothing says so in vain.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from diagnose.bounds import MOST_TOLD

from .base import RulePage
from .load import NOTHING_ELSE, Located, read_items, rule_files
from .models.kinds import KINDS
from .models.vocabulary import TakenOut
from .problems import Place, Problem, RuleFilesWrong, nearest


@dataclass(frozen=True)
class RuleFolders:
    """Folders of rules: those `below` are read together, and each of the cellar's `own` goes on top, in order."""

    below: tuple[Path, ...]
    own: tuple[Path, ...] = ()

    @property
    def all(self) -> tuple[Path, ...]:
        """Every folder, the lowest first."""
        return (*self.below, *self.own)


@dataclass(frozen=True)
class OwnPage:
    """A page of a cellar's own rules: their name and version, and why it stands in the place of one below."""

    rules: str
    because: str | None = None


@dataclass(frozen=True)
class TakenOutPage:
    """A page that is not used any more: whose rules took it out, why, and where they say so."""

    kind: str
    id: str
    rules: str
    because: str
    place: Place


def layered_files(folders: RuleFolders, new: Iterable[Path] = ()) -> list[tuple[int, Path]]:
    """Every rule file with its layer: 0 below, then 1 for the first own folder, and so on.

    `new` are files that are not on the disk yet; those that are there already count once.
    Raises RuleFilesWrong for a folder that is missing or empty, or that lies inside another.
    """
    found = [(0, file) for file in rule_files(folders.below)]
    for layer, folder in enumerate(folders.own, 1):
        found += ((layer, file) for file in rule_files([folder]))
    if inside := [*_inside_each_other(folders)]:
        raise RuleFilesWrong(inside)
    there = {file for _, file in found}
    found += ((_layer_of(file, folders), file) for file in new if file not in there)
    return sorted(found, key=lambda one: one[0])


def _layer_of(file: Path, folders: RuleFolders) -> int:
    own = (layer for layer, folder in enumerate(folders.own, 1) if file.is_relative_to(folder))
    return next(own, 0)


def _inside_each_other(folders: RuleFolders) -> Iterator[Problem]:
    for at, own in enumerate(folders.own, len(folders.below)):
        for other in folders.all[:at]:
            one, two = own.resolve(), other.resolve()
            if one.is_relative_to(two) or two.is_relative_to(one):
                what = (
                    f"this folder of your own and {other} lie one in the other, so pages would be read twice."
                )
                yield Problem(Place(str(own)), what, "Move your own pages into a folder apart.")


def read_layers(
    files: Iterable[tuple[int, Path]], instead: Mapping[Path, str] = NOTHING_ELSE
) -> tuple[list[Located], list[Problem]]:
    """Every item, the lowest layer first, and what is wrong inside the files."""
    items: list[Located] = []
    problems: list[Problem] = []
    for layer, file in files:
        if len(problems) >= MOST_TOLD:
            break
        read, wrong = read_items([file], instead)
        items += (replace(located, layer=layer) for located in read)
        problems += wrong
    return items, problems


def pages_that_stand(items: Sequence[Located]) -> tuple[list[Located], list[Problem]]:
    """The items that count once each layer lies on those below, and what is replaced or taken out in vain."""
    standing: list[Located] = []
    problems: list[Problem] = []
    for located in items:
        page = located.item
        if isinstance(page, TakenOut):
            problems += _taken_out(located, page, standing)
            standing = [other for other in standing if not _is_below(other, located, page.kind)]
            continue
        if isinstance(page, RulePage) and page.replaces_because:
            problems += _replaced(located, standing)
            standing = [other for other in standing if not _is_below(other, located, located.kind)]
        standing.append(located)
    return standing, problems


def _is_below(other: Located, located: Located, kind: str) -> bool:
    return (other.kind, other.id) == (kind, located.id) and other.layer < located.layer


def _taken_out(located: Located, page: TakenOut, standing: Sequence[Located]) -> Iterator[Problem]:
    kinds = [kind for kind, model in KINDS.items() if issubclass(model, RulePage)]
    if page.kind not in kinds:
        what = f"'{page.kind}' is not a kind of page that can be taken out."
        yield located.problem(("kind",), what, nearest(page.kind, kinds))
    elif not any(_is_below(other, located, page.kind) for other in standing):
        what = f"there is no {page.kind} '{located.id}' below that could be taken out."
        yield located.problem((located.kind,), what, _mend(located, page.kind, standing))


def _replaced(located: Located, standing: Sequence[Located]) -> Iterator[Problem]:
    if not any(_is_below(other, located, located.kind) for other in standing):
        what = f"there is no {located.kind} '{located.id}' below whose place this could take."
        mend = f"{_mend(located, located.kind, standing)} If it is a new page, take `replaces_because` out."
        yield located.problem(("replaces_because",), what, mend, key=True)


def _mend(located: Located, kind: str, standing: Sequence[Located]) -> str:
    if not located.layer:
        return "Only a folder given with --own lies on top of others."
    same = [other for other in standing if other.kind == kind]
    here = next((other for other in same if (other.id, other.layer) == (located.id, located.layer)), None)
    if here:
        return f"This folder has a {kind} '{here.id}' of its own, at {here.place.file}:{here.place.line}; keep one."
    return nearest(located.id, [other.id for other in same if other.layer < located.layer])


def told_of_taken_out(problems: Iterable[Problem], items: Iterable[Located]) -> list[Problem]:
    """The same mistakes; where the name underlined is of a page that was taken out, the mend says so."""
    taken = {located.id: located for located in items if located.kind == "taken_out"}
    return [_told(problem, taken) for problem in problems]


def _told(problem: Problem, taken: Mapping[str, Located]) -> Problem:
    start = problem.place.column - 1
    word = problem.text[start : start + problem.place.width].strip("'\"").rpartition(".")[2]
    located = taken.get(word)
    if located is None or Path(problem.place.file) == Path(located.place.file):
        return problem
    mend = (
        f"It was taken out at {located.place.file}:{located.place.line}. In that folder, write this page anew "
        "without it (with `replaces_because`), or take this page out as well."
    )
    return replace(problem, mend=mend)
