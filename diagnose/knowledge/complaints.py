"""What pydantic finds wrong in a page, in our words: with its place in the file and the likely mend."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches
from itertools import islice
from typing import Any, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from diagnose.bounds import MOST_TOLD

from .base import FACT_PATTERN, ID_PATTERN, PRINT_PATTERN, VERSION_PATTERN, WORD_PATTERN, Item
from .problems import LONGEST, Place, Problem, nearest, quoted, slip
from .yaml_reader import Document, Path_


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
        keys = sorted({key for inner in inside for key in keys_of(inner)})
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
    for key, beyond in _BOUNDS.items():
        if key in context:
            return f"{shown} cannot be right here.", f"Write a number {beyond} {context[key]}."
    if kind in ("value_error", "assertion_error"):
        what, _, mend = str(context.get("error", "")).partition("; ")
        return (
            f"{what}.",
            f"{mend[:1].upper()}{mend[1:]}." if mend else "Change or take out what is named here.",
        )
    if kind == "string_type":
        return _not_words(given, shown)
    return _wrong_shape(kind, given, shown, inside)


_BOUNDS: Mapping[str, str] = {"ge": "of at least", "gt": "above", "le": "of at most", "lt": "below"}
"""How far a number may go, by the word of pydantic for it."""


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


def keys_of(model: type[BaseModel]) -> list[str]:
    """The keys of a page as they are written in a file."""
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
