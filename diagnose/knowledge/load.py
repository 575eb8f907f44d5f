"""From a folder of rule files to one checked rule base; every mistake of a load is reported at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from diagnose.bounds import LARGEST_RULES, MOST_RULE_FILES, MOST_TOLD, in_words
from diagnose.plain_file import leads_out

from .complaints import keys_of, model_problems
from .models.kinds import KINDS, AnyItem
from .problems import Place, Problem, RuleFilesWrong, nearest, quoted, slip
from .yaml_reader import Document, Path_, file_text, read_text

NOTHING_ELSE: Mapping[Path, str] = {}


def path_to(text: str, kind: str, name: str, file: str) -> Path_:
    """The path to an item in the text of a rule file. Raises RuleFilesWrong where it is not there any more."""
    for path, value in _entries(read_text(text.removeprefix("\ufeff"), file)):
        if isinstance(value, Mapping) and value.get(kind) == name:
            return path
    what = f"the {kind} '{name}' does not stand in this file any more."
    raise RuleFilesWrong(
        [Problem(Place(file), what, "It was changed meanwhile; begin anew with what is there now.")]
    )


@dataclass(frozen=True)
class Located:
    """An item with the file it came from, so that later checks can point into it."""

    kind: str
    id: str
    item: AnyItem
    document: Document
    path: Path_
    layer: int = 0
    """0 for the rules below, 1 and up for the cellar's own on top of them."""

    def problem(self, inner: Path_, what: str, mend: str = "", key: bool = False) -> Problem:
        """A problem at a path inside this item."""
        return self.document.problem(self.document.place((*self.path, *inner), key), what, mend)

    @property
    def written(self) -> Any:
        """The item as it stands in the file, in plain values."""
        value = self.document.value
        for step in self.path:
            value = value[step]
        return value

    @property
    def place(self) -> Place:
        """Where the item begins."""
        return self.document.place((*self.path, self.kind))


def rule_files(folders: Iterable[Path]) -> list[Path]:
    """All rule files under the folders, in a fixed order.

    Raises RuleFilesWrong when a folder is missing or holds no rule files, when a file in it is a link that leads
    out of it, a pipe or a device, and when there are more files than anybody means.
    """
    folders = list(folders)
    found: list[Path] = []
    problems: list[Problem] = []
    for folder in folders:
        # Both endings, so that a page saved under the other one does not vanish in silence.
        every = (path for ending in ("yaml", "yml") for path in folder.rglob(f"*.{ending}"))
        files = sorted(path for path in islice(every, MOST_RULE_FILES + 1) if not path.is_dir())
        found += files
        if len(found) > MOST_RULE_FILES:
            what = f"there are more than {MOST_RULE_FILES:,} rule files here, {len(found):,} at the least."
            problems.append(Problem(Place(str(folder)), what, "Is it the right folder? Join small files."))
            break
        problems += (problem for path in files if (problem := _not_ours(folder, path)))
        if not folder.is_dir():
            what = "there is no such folder of rules."
        elif not files:
            what = "no rule files (*.yaml) are in this folder."
        else:
            continue
        problems.append(
            Problem(
                Place(str(folder)),
                what,
                "Check the name given with --rules or --own, or kept in your settings.",
            )
        )
    if not problems:
        problems += _too_much(folders, found)
    if problems:
        raise RuleFilesWrong(problems[:MOST_TOLD])
    return found


def _not_ours(folder: Path, path: Path) -> Problem | None:
    """What keeps a name in a folder of rules from being read: it is no file, or not of this folder."""
    if leads_out(folder, path):
        what = "this is a link that leads out of the folder of rules."
        return Problem(
            Place(str(path)), what, "Put the file itself here, or name its folder with --rules too."
        )
    if not path.is_file():
        what = "this is a link that leads nowhere, a pipe or a device, and no rule file."
        return Problem(Place(str(path)), what, "Take it out of the folder of rules.")
    return None


def _too_much(folders: Sequence[Path], files: Sequence[Path]) -> list[Problem]:
    size = sum(path.stat().st_size for path in files)
    if size <= LARGEST_RULES:
        return []
    what = f"the rule files here have {in_words(size)} together; {in_words(LARGEST_RULES)} are the most."
    return [Problem(Place(str(folders[0])), what, "Is it the right folder?")]


def read_items(
    files: Sequence[Path], instead: Mapping[Path, str] = NOTHING_ELSE
) -> tuple[list[Located], list[Problem]]:
    """Read and check each file by itself. Returns the good items and, of each file, the first problems.

    `instead` holds the text of files that is taken in the place of what is on the disk.
    """
    items: list[Located] = []
    problems: list[Problem] = []
    for path in files:
        try:
            text = instead[path].removeprefix("\ufeff") if path in instead else file_text(path)
            read = _read_again(str(path), text) if len(text) <= _SMALL else _read_items(str(path), text)
        except RuleFilesWrong as wrong:
            problems += wrong.problems
            continue
        items += read[0]
        problems += read[1]
    return items, problems


def _read_items(file: str, text: str) -> tuple[Sequence[Located], Sequence[Problem]]:
    """The good items of one text, and its problems, up to as many as are told. Raises RuleFilesWrong for no YAML."""
    items: list[Located] = []
    problems: list[Problem] = []
    document = read_text(text, file, by_hand=True)
    for inner, value in _entries(document):
        if len(problems) >= MOST_TOLD:
            break
        read = _read_item(document, inner, value)
        if isinstance(read, Located):
            items.append(read)
        else:
            problems += read
    return items, problems


# A mentor's change touches one file of hundreds, and all of them are read again after it. What was read is never
# changed. A page of this many letters is kept; a larger one is rare, and a stranger's may be huge.
_SMALL = 32_000
_read_again = lru_cache(maxsize=512)(_read_items)


def _entries(document: Document) -> Iterator[tuple[Path_, Any]]:
    if isinstance(document.value, list):
        yield from (((index,), value) for index, value in enumerate(document.value))
    elif document.value is not None:
        yield (), document.value


def _read_item(document: Document, path: Path_, value: Any) -> Located | list[Problem]:
    place = document.place(path)
    if not isinstance(value, Mapping) or not value:
        what = f"an item of a rule file must begin with its kind; here is {quoted(value)}."
        if value == {}:
            what = "an item of a rule file must begin with its kind; this one is empty."
        return [document.problem(place, what, f"Begin with one of: {', '.join(KINDS)}.")]
    kind = next(iter(value))
    if kind not in KINDS:
        later = next((key for key in value if key in KINDS and set(value) <= set(keys_of(KINDS[key]))), None)
        mend = f"Put `{later}:` first in the item." if later else slip(kind) or nearest(kind, KINDS)
        if kind == "case":
            mend = "This is a worked case and no rule: keep it in a folder of cases, and name that to `diagnose try`."
        place = document.place((*path, kind), key=True)
        return [document.problem(place, f"{quoted(kind)} is not a kind of item.", mend)]
    try:
        item = KINDS[kind].model_validate(value)
    except ValidationError as error:
        return model_problems(error, document, path, KINDS[kind])
    return Located(kind, str(value[kind]), item, document, path)
