"""The page that lists every key of the rule language, made from the models that check the rule files.

Run by itself it writes the page: `python tests/docs/keys_page.py`.
"""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Iterator, Mapping
from typing import Any, get_args

from diagnose.knowledge.conditions import Condition, FactTest
from diagnose.knowledge.models.kinds import KINDS
from pages import DOCS
from pydantic import BaseModel
from pydantic.fields import FieldInfo

PAGE = DOCS / "reference" / "keys.md"

HEAD = """# Every key of the rule language

For looking up. How the keys are used, with examples, is told in the [rule language](../rule-language.md). This page is
made from the program itself: `python tests/docs/keys_page.py` writes it anew.

*Must* says whether the key has to be there. A key that need not be there is left out when there is nothing to say.
*A name* is the name of a page; *a word* is an answer, a strength or another word with a meaning. Both are lower-case
words joined by single underscores. A list of one needs no brackets where *one or a list* stands.

First come the kinds of item, in the order of the rule language; each begins with its own name. After them stand the
parts that lie inside them.
"""

WORDS: Mapping[str, str] = {
    "Version": "three numbers with points between, such as `0.2.0`",
    "Id": "a name",
    "FactName": "the name of a fact",
    "Word": "a word",
    "Text": "a text",
    "Number": "a number",
    "Input": "the name of a fact, or a number",
    "Range": "two numbers, `[low, high]`",
    "Ids": "a name, one or a list",
    "Words": "a word, one or a list",
    "Texts": "a text, one or a list",
    "Sources": "the name of a source, one or a list",
    "FactNames": "the name of a fact, one or a list",
    "Steps": "a list, each a text or a [step](#step)",
    "str": "three numbers with points between",
}
"""The types of the models, in plain words."""


def keys_page() -> str:
    """The whole page."""
    parts = [HEAD, "## The kinds of item\n"]
    parts += [_section(f"`{kind}`", model) for kind, model in KINDS.items()]
    parts.append("## Parts of items\n")
    parts += [_section(plain_name(model), model) for model in inner_models()]
    return "\n".join(parts)


def inner_models() -> list[type[BaseModel]]:
    """Every model that lies inside an item, in the order of their names."""
    found = {inner for model in KINDS.values() for inner in _models_under(model)} - set(KINDS.values())
    return sorted(found | {Condition, FactTest}, key=plain_name)


def plain_name(model: type[BaseModel]) -> str:
    """The name of a part as a heading: the words of its class."""
    return " ".join(re.findall(r"[A-Z][a-z]*", model.__name__)).lower()


def meanings(model: type[BaseModel]) -> dict[str, tuple[ast.expr, str]]:
    """For each field that stands in a model: its type as written, and its docstring."""
    found: dict[str, tuple[ast.expr, str]] = {}
    for part in model.__mro__[::-1]:
        if part.__module__.startswith("diagnose."):
            (written,) = ast.parse(inspect.getsource(part)).body
            assert isinstance(written, ast.ClassDef)
            for field, after in zip(written.body, [*written.body[1:], ast.Pass()], strict=True):
                if isinstance(field, ast.AnnAssign) and isinstance(field.target, ast.Name):
                    told = (
                        after.value.value
                        if isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant)
                        else ""
                    )
                    found[field.target.id] = (field.annotation, " ".join(str(told).split()))
    return found


def fields_of(model: type[BaseModel]) -> Iterator[tuple[str, str, FieldInfo]]:
    """Each field with its key in a file; the facts of a condition, which are its other keys, are left out."""
    for name, info in model.model_fields.items():
        key = info.alias or name
        if not key.startswith("~"):
            yield key, name, info


def _section(head: str, model: type[BaseModel]) -> str:
    written = meanings(model)
    first = (model.__doc__ or "").strip().split("\n\n")
    about = "\n\n".join(" ".join(part.split()) for part in first).replace("::", ":")
    # An item begins with its kind, also where its model builds on another.
    fields = sorted(fields_of(model), key=lambda field: KINDS.get(field[0]) is not model)
    rows = "\n".join(
        f"| `{key}` | {_type(written[name][0], info)} | {_must(info)} | {_cell(written[name][1])} |"
        for key, name, info in fields
    )
    extra = (
        "Every other key is a fact, and holds a [fact test](#fact-test).\n\n" if model is Condition else ""
    )
    return f"### {head}\n\n{about}\n\n{extra}| key | holds | must | meaning |\n| --- | --- | --- | --- |\n{rows}\n"


def _must(info: FieldInfo) -> str:
    return "yes" if info.is_required() else "no"


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def _type(written: ast.expr, info: FieldInfo) -> str:
    """A type in plain words, with the words that are allowed."""
    if allowed := _literals(info.annotation):
        listed = ", ".join(f"`{word}`" for word in allowed)
        return f"one of {listed}" if len(allowed) > 1 else f"only {listed}"
    return _in_words(written)


def _literals(annotation: Any) -> tuple[str, ...]:
    args = get_args(annotation)
    if args and all(isinstance(word, str) for word in args):
        return args
    return next((found for inner in args if (found := _literals(inner))), ()) if type(None) in args else ()


def _in_words(written: ast.expr) -> str:
    match written:
        case ast.Name(id=name) if name in WORDS:
            return WORDS[name]
        case ast.Name(id=name):
            (said,) = (plain_name(inner) for inner in inner_models() if inner.__name__ == name)
            return f"the keys of {'an' if said[0] in 'aeiou' else 'a'} [{said}](#{said.replace(' ', '-')})"
        case ast.BinOp(left=left):  # or nothing, which *must* tells
            return _in_words(left)
        case ast.Subscript(value=ast.Name(id="Annotated"), slice=ast.Tuple(elts=[inner, *_])):
            return _in_words(inner)
        case ast.Subscript(value=ast.Name(id="tuple"), slice=ast.Tuple(elts=[inner, *_])):
            return f"a list, each {_in_words(inner)}"
        case ast.Subscript(value=ast.Name(id="Mapping"), slice=ast.Tuple(elts=[key, value])):
            return f"keys, each {_in_words(key)}, with {_in_words(value)}"
    raise ValueError(f"no plain words for the type {ast.unparse(written)}")


def _models_under(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    for info in model.model_fields.values():
        for inner in _models_in(info.annotation):
            if inner is not model:
                yield inner
                yield from _models_under(inner)


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models_in(inner)


if __name__ == "__main__":
    PAGE.parent.mkdir(exist_ok=True)
    PAGE.write_text(keys_page(), encoding="utf-8")
