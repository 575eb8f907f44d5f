"""From a folder of rule files to one checked rule base; every mistake of a load is reported at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from .models import KINDS, AnyItem
from .problems import Place, Problem, RuleFilesWrong, nearest
from .yaml_reader import Document, Path_, read_file


@dataclass(frozen=True)
class Located:
    """An item with the file it came from, so that later checks can point into it."""

    kind: str
    id: str
    item: AnyItem
    document: Document
    path: Path_

    def problem(self, inner: Path_, what: str, mend: str = "", key: bool = False) -> Problem:
        """A problem at a path inside this item."""
        return self.document.problem(self.document.place((*self.path, *inner), key), what, mend)

    @property
    def place(self) -> Place:
        """Where the item begins."""
        return self.document.place((*self.path, self.kind))


def rule_files(folders: Iterable[Path]) -> list[Path]:
    """All rule files under the folders, in a fixed order.

    Raises RuleFilesWrong when a folder is missing or holds no rule files.
    """
    found: list[Path] = []
    for folder in folders:
        if not folder.is_dir():
            what = "there is no such folder of rules."
            raise RuleFilesWrong([Problem(Place(str(folder)), what, "Check the name given with --rules.")])
        files = sorted(path for path in folder.rglob("*.yaml") if path.is_file())
        if not files:
            what = "no rule files (*.yaml) are in this folder."
            raise RuleFilesWrong([Problem(Place(str(folder)), what, "Check the name given with --rules.")])
        found += files
    return found


def read_items(files: Sequence[Path]) -> tuple[list[Located], list[Problem]]:
    """Read and check each file by itself. Returns the good items and all problems."""
    items: list[Located] = []
    problems: list[Problem] = []
    for path in files:
        try:
            document = read_file(path)
        except RuleFilesWrong as wrong:
            problems += wrong.problems
            continue
        for inner, value in _entries(document):
            read = _read_item(document, inner, value)
            if isinstance(read, Located):
                items.append(read)
            else:
                problems += read
    return items, problems


def _entries(document: Document) -> Iterator[tuple[Path_, Any]]:
    if isinstance(document.value, list):
        yield from (((index,), value) for index, value in enumerate(document.value))
    elif document.value is not None:
        yield (), document.value


def _read_item(document: Document, path: Path_, value: Any) -> Located | list[Problem]:
    place = document.place(path)
    if not isinstance(value, Mapping) or not value:
        what = "an item of a rule file must be a mapping that begins with its kind."
        return [document.problem(place, what, f"Begin with one of: {', '.join(KINDS)}.")]
    kind = next(iter(value))
    if kind not in KINDS:
        what = f"'{kind}' is not a kind of item."
        return [document.problem(document.place((*path, kind), key=True), what, nearest(kind, KINDS))]
    try:
        item = KINDS[kind].model_validate(value)
    except ValidationError as error:
        return model_problems(error, document, path, KINDS[kind])
    return Located(kind, str(value[kind]), item, document, path)


# ---------------------------------------------------------------- pydantic's errors in our words


def model_problems(
    error: ValidationError, document: Document, path: Path_, model: type[BaseModel]
) -> list[Problem]:
    """Each pydantic error as a problem with its place in the file and the likely mend."""
    return [_model_problem(details, document, path, model) for details in error.errors()]


def _model_problem(details: ErrorDetails, document: Document, base: Path_, model: type[BaseModel]) -> Problem:
    path, known = _walk(details["loc"], document, base, model)
    kind, given = details["type"], details.get("input")
    name = str(details["loc"][-1]) if details["loc"] else ""
    if kind == "missing":
        what = f"'{name}' is missing here."
        return document.problem(document.place(path), what, f"Add `{name}:` to this item.")
    if kind == "extra_forbidden":
        what = f"'{name}' is not a key that belongs here."
        return document.problem(document.place((*path, name), key=True), what, nearest(name, known))
    place = document.place(path, key="[key]" in details["loc"])
    if kind in ("literal_error", "enum"):
        expected = str(details.get("ctx", {}).get("expected", "")).replace("'", "").replace(" or ", ", ")
        mend = nearest(str(given), expected.split(", "))
        return document.problem(place, f"'{given}' does not belong here.", mend)
    if kind == "string_pattern_mismatch":
        mend = "Write lower-case words joined by single underscores, such as heat_test."
        return document.problem(place, f"'{given}' is not a name.", mend)
    if kind.startswith(("float", "finite")):
        mend = "Write a plain number with a decimal point, without a unit."
        return document.problem(place, f"{_quoted(given)} is not a number.", mend)
    if kind in ("value_error", "assertion_error"):
        return document.problem(place, str(details["msg"]).removeprefix("Value error, ") + ".")
    if kind == "string_type":
        what = f"{_quoted(given)} is not text."
        return document.problem(place, what, "Put quotes around it if it is meant as words.")
    if kind == "string_too_short":
        return document.problem(place, "this text is empty.", "Write a sentence.")
    return document.problem(place, f"{_quoted(given)}: {details['msg'][:1].lower()}{details['msg'][1:]}.")


def _quoted(value: Any) -> str:
    if value is None:
        return "an empty value"
    if isinstance(value, Mapping):
        return "a mapping"
    return "a list" if isinstance(value, list | tuple) else f"'{value}'"


def _walk(
    loc: Sequence[str | int], document: Document, base: Path_, model: type[BaseModel]
) -> tuple[Path_, list[str]]:
    """Follow pydantic's path in the file, past the steps that exist only inside the model.

    Returns the path as written and the keys allowed where the walk ended.
    """
    path, models = base, [model]
    for step in loc:
        inside = (*path, step)
        models = [inner for outer in models for inner in _inner_models(outer, str(step))] or models
        if inside in document.values:
            path = inside
    return path, sorted({key for inner in models for key in _keys(inner)})


def _keys(model: type[BaseModel]) -> list[str]:
    return [(info.alias or name) for name, info in model.model_fields.items()]


def _inner_models(model: type[BaseModel], step: str) -> list[type[BaseModel]]:
    for name, info in model.model_fields.items():
        if step in (name, info.alias):
            return list(_models_in(info.annotation))
    return []


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models_in(inner)
