"""From a folder of rule files to one checked rule base; every mistake of a load is reported at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import islice
from pathlib import Path
from typing import Any, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from diagnose.bounds import LARGEST_RULES, MOST_RULE_FILES, MOST_TOLD, in_words
from diagnose.plain_file import leads_out

from .base import FACT_PATTERN, ID_PATTERN, PRINT_PATTERN, VERSION_PATTERN, WORD_PATTERN, Item
from .models.kinds import KINDS, AnyItem
from .problems import LONGEST, Place, Problem, RuleFilesWrong, nearest, quoted, slip
from .yaml_reader import Document, Path_, read_file, read_text

NOTHING_ELSE: Mapping[Path, str] = {}


def path_to(text: str, kind: str, name: str) -> Path_:
    """The path to an item in the text of a rule file. Raises KeyError where it is not there."""
    for path, value in _entries(read_text(text.removeprefix("\ufeff"), "")):
        if isinstance(value, Mapping) and value.get(kind) == name:
            return path
    raise KeyError(name)


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
        problems += (problem for path in files if (problem := _not_ours(folder, path)))
        found += files
        if len(found) > MOST_RULE_FILES:
            what = f"there are more than {MOST_RULE_FILES:,} rule files here, {len(found):,} at the least."
            problems.append(Problem(Place(str(folder)), what, "Is it the right folder? Join small files."))
            break
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
    """Read and check each file by itself. Returns the good items and all problems, up to as many as are told.

    `instead` holds the text of files that is taken in the place of what is on the disk.
    """
    items: list[Located] = []
    problems: list[Problem] = []
    for path in files:
        if len(problems) >= MOST_TOLD:
            break
        try:
            document = _given(instead, path)
        except RuleFilesWrong as wrong:
            problems += wrong.problems
            continue
        for inner, value in _entries(document):
            if len(problems) >= MOST_TOLD:
                break
            read = _read_item(document, inner, value)
            if isinstance(read, Located):
                items.append(read)
            else:
                problems += read
    return items, problems


def _given(instead: Mapping[Path, str], path: Path) -> Document:
    if path not in instead:
        return read_file(path, by_hand=True)
    return read_text(instead[path].removeprefix("\ufeff"), str(path), by_hand=True)


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
        later = next((key for key in value if key in KINDS and set(value) <= set(_keys(KINDS[key]))), None)
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


# ---------------------------------------------------------------- pydantic's errors in our words


def model_problems(
    error: ValidationError, document: Document, path: Path_, model: type[BaseModel]
) -> list[Problem]:
    """Each pydantic error as a problem with its place in the file and the likely mend, up to as many as are told."""
    errors = error.errors(include_url=False)
    extra: dict[tuple[str | int, ...], list[str]] = {}
    for details in errors:
        if details["type"] == "extra_forbidden":
            extra.setdefault(details["loc"][:-1], []).append(str(details["loc"][-1])[:60])
    told = (
        _model_problem(details, document, path, model)
        for details in errors
        if details["type"] != "missing" or not _misspelt(details["loc"], extra.get(details["loc"][:-1], ()))
    )
    return list(islice(told, MOST_TOLD))


def _misspelt(missing: Sequence[str | int], beside: Sequence[str]) -> bool:
    """Whether a missing key stands beside one much like it: one slip of the pen, told once."""
    return bool(get_close_matches(str(missing[-1]), beside[:MOST_TOLD]))


def _as_written(given: Any, place: Place, document: Document) -> str:
    """A number as it stands in the file, where 1.0 is not 1; anything else as `quoted` gives it."""
    if isinstance(given, bool) or not isinstance(given, int | float) or place.line > len(document.lines):
        return quoted(given)
    return quoted(document.lines[place.line - 1][place.column - 1 : place.column - 1 + place.width])


def _model_problem(details: ErrorDetails, document: Document, base: Path_, model: type[BaseModel]) -> Problem:
    path, inside = _walk(details["loc"], document, base, model)
    kind, given, context = details["type"], details.get("input"), details.get("ctx", {})
    name = str(details["loc"][-1]) if details["loc"] else ""
    if kind == "mistake":
        # A key within a key is named with points between; there its value is what is wrong.
        key = (*path, *str(context["key"]).split("."))
        place = (
            document.place(key, key=len(key) == len(path) + 1)
            if key in document.keys
            else document.place(path)
        )
        return document.problem(place, str(context["what"]), str(context["mend"]))
    if kind == "missing" and not name.isdigit():
        return document.problem(
            document.place(path), f"'{name}' is missing here.", f"Add `{name}:` to this item."
        )
    if kind == "extra_forbidden":
        keys = sorted({key for inner in inside for key in _keys(inner)})
        place = document.place(path, key=True)
        if comma := _decimal_comma(place, document):
            return comma
        return document.problem(place, f"{quoted(name)} is not a key that belongs here.", nearest(name, keys))
    place = document.place(path, key="[key]" in details["loc"])
    shown = _as_written(given, place, document)
    return document.problem(
        place, *_said(kind, given, shown, context, inside, bool(path) and isinstance(path[-1], int))
    )


def _decimal_comma(place: Place, document: Document) -> Problem | None:
    """A number with a decimal comma in brackets, whose second half was taken for a key."""
    line = document.lines[place.line - 1]
    for found in re.finditer(r"\d+,\d+", line):
        if found.start() < place.column - 1 <= found.end():
            spot = Place(place.file, place.line, found.start() + 1, len(found.group()))
            what = f"{quoted(found.group())} is not a number."
            return document.problem(spot, what, slip(found.group()))
    return None


def _said(
    kind: str,
    given: Any,
    shown: str,
    context: Mapping[str, Any],
    inside: Sequence[type[BaseModel]],
    in_list: bool,
) -> tuple[str, str]:
    """What is wrong with one value, and the mend."""
    hidden = slip(given)
    if given is None:
        return "there is nothing here.", "Write a value after the colon, or take the key out."
    if kind in ("literal_error", "enum"):
        words = str(context.get("expected", "")).replace("'", "").replace(" or ", ", ").split(", ")
        known = nearest({True: "yes", False: "no"}[given] if isinstance(given, bool) else str(given), words)
        return f"{shown} does not belong here.", known if isinstance(given, bool) else hidden or known
    if kind == "string_pattern_mismatch":
        pattern = str(context.get("pattern"))
        what, mend = _PATTERNS.get(pattern, _PATTERNS[ID_PATTERN])
        mend = _tidied(str(given), pattern) or mend
        if isinstance(given, str) and in_list and len(names := re.split(r"[\s;]+", given.strip())) > 1:
            mend = f"Put commas between names: {', '.join(names)}. A name of several words has underscores between."
        return f"{shown} is not {what}.", hidden or mend
    if kind == "string_too_long":
        return (
            f"this is longer than {context.get('max_length')} letters: {shown}.",
            "Write it shorter.",
        )
    if kind == "string_too_short":
        return "this text is empty.", "Write a sentence."
    if kind.startswith(("float", "finite", "int")):
        mend = "Write a plain number with a decimal point, without a unit and without quotes."
        return f"{shown} is not a number.", mend if isinstance(given, bool) else hidden or mend
    if kind in ("value_error", "assertion_error"):
        what, _, mend = str(context.get("error", "")).partition("; ")
        return (
            f"{what}.",
            f"{mend[:1].upper()}{mend[1:]}." if mend else "Change or take out what is named here.",
        )
    if kind == "string_type":
        return _not_words(given, shown)
    return _wrong_shape(kind, given, shown, inside)


def _tidied(given: str, pattern: str) -> str:
    """The name or word that was nearly written; empty if none is to be seen."""
    tidy = re.sub(r"[\s-]+", "_", given.strip().lower())
    if found := re.fullmatch(r"(>=|<=|>|<) *(\d+(?:\.\d+)?)", given.strip()):
        key = {">=": "at_least", "<=": "at_most", ">": "above", "<": "below"}[found[1]]
        return f"Write it with a key: {{{key}: {found[2]}}}."
    if len(tidy) > LONGEST or not tidy[:1].isalpha() or not re.fullmatch(pattern, tidy):
        return ""
    return f"Did you mean '{tidy}'? {_NAME}"


_NAME = "Write lower-case words joined by single underscores, such as heat_test."
_PATTERNS: Mapping[str, tuple[str, str]] = {
    ID_PATTERN: ("a name", _NAME),
    WORD_PATTERN: ("a word of the rule language", _NAME),
    FACT_PATTERN: ("the name of a fact", f"{_NAME} A `cause.` or `fix.` may stand before it."),
    PRINT_PATTERN: (
        "a print of what was reviewed",
        "It has eight signs, 0 to 9 and a to f; `diagnose review` writes it.",
    ),
    VERSION_PATTERN: ("a version", "Write three numbers with points between, such as 1.4.0."),
}
"""What a text had to be, by the pattern it failed."""


def _not_words(given: Any, shown: str) -> tuple[str, str]:
    if isinstance(given, bool):
        return f"{shown} is not a word.", slip(given)
    if isinstance(given, int | float):
        return (
            f"{shown} is a number; words belong here.",
            "Write a word, or put quotes around it if it is meant as words.",
        )
    return f"{shown} stands where one value belongs.", "Write one word or sentence after the colon."


def _wrong_shape(kind: str, given: Any, shown: str, inside: Sequence[type[BaseModel]]) -> tuple[str, str]:
    what = f"{shown} stands where "
    if isinstance(given, bool):
        return _not_words(given, shown)
    if kind in ("too_long", "missing", "too_short"):
        return (
            "this list has not the right number of entries.",
            "Write two numbers with decimal points, such as [0.5, 14].",
        )
    if kind in ("tuple_type", "list_type"):
        return f"{what}a list belongs.", "Begin each entry on its own line with `- `, or write [one, two]."
    example = next((inner.example for inner in inside if issubclass(inner, Item) and inner.example), "")
    mend = (
        f"Write for example {example}." if example else "Write keys with their values, each as `key: value`."
    )
    return f"{what}keys with values belong.", mend


def _walk(
    loc: Sequence[str | int], document: Document, base: Path_, model: type[BaseModel]
) -> tuple[Path_, list[type[BaseModel]]]:
    """Follow pydantic's path in the file, past the steps that exist only inside the model.

    Returns the path as written and the models that the last step may hold.
    """
    path: Path_ = base
    models: list[type[BaseModel]] = [model]
    for step in loc:
        models = [inner for outer in models for inner in _inner_models(outer, str(step))] or models
        if (*path, step) in document.values:
            path = (*path, step)
    return path, models


def _keys(model: type[BaseModel]) -> list[str]:
    return [(info.alias or name) for name, info in model.model_fields.items()]


def _inner_models(model: type[BaseModel], step: str) -> list[type[BaseModel]]:
    for name, info in model.model_fields.items():
        if step in (name, info.alias):
            return list(_models_in(info.annotation))
    return []


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    # In Python 3.10 `tuple[int, ...]` too passes for a class, until it is asked for its parents.
    if get_origin(annotation) is None and isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models_in(inner)
