"""The rule files and other files a person writes as JSON Schema, so that an editor completes and checks them.

The schema sees one page by itself. That a name is known on another page only `diagnose check` can tell.
"""

from __future__ import annotations

import ast
import inspect
from collections.abc import Iterator, Mapping
from textwrap import dedent
from typing import Any, get_args

from pydantic import BaseModel

from .models.kinds import KINDS

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def rules_schema() -> dict[str, Any]:
    """The schema of a rule file: one item, or a list of them."""
    kinds = {kind: model_schema(model) for kind, model in KINDS.items()}
    definitions: dict[str, Any] = {}
    for kind, schema in kinds.items():
        definitions |= schema.pop("$defs", {})
        definitions[f"item_{kind}"] = schema
    definitions["item"] = {
        "type": "object",
        "description": "An item of a rule file. Its first key says what kind of item it is.",
        "properties": {kind: {"description": schema["description"]} for kind, schema in kinds.items()},
        "anyOf": [{"required": [kind]} for kind in kinds],
        "allOf": [{"if": _is_of(kind, kinds), "then": {"$ref": f"#/$defs/item_{kind}"}} for kind in kinds],
    }
    return {
        "$schema": DIALECT,
        "title": "Rule file",
        "description": "What a cellar knows: one item, or a list of items.",
        "if": {"type": "array"},
        "then": {"items": {"$ref": "#/$defs/item"}},
        "else": {"$ref": "#/$defs/item"},
        "$defs": definitions,
    }


def _is_of(kind: str, kinds: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
    """When an item is of a kind: it has that key, and is not of a kind that has such a key among others."""
    others = [other for other in kinds if other != kind and kind in kinds[other]["properties"]]
    found: dict[str, Any] = {"required": [kind]}
    return found | ({"not": {"anyOf": [{"required": [other]} for other in others]}} if others else {})


def file_schema(model: type[BaseModel]) -> dict[str, Any]:
    """The schema of a file that holds one thing."""
    return {"$schema": DIALECT, **model_schema(model)}


def model_schema(model: type[BaseModel]) -> dict[str, Any]:
    """The schema of a model as it is written in a file, with what its keys mean."""
    schema = model.model_json_schema(by_alias=True)
    for each in {model, *_models_under(model)}:
        told = schema if each is model else schema.get("$defs", {}).get(each.__name__, {})
        _describe(told, each)
    _close(schema)
    return schema


def _describe(schema: dict[str, Any], model: type[BaseModel]) -> None:
    for name, says in _key_docs(model).items():
        field = model.model_fields[name]
        schema["properties"][field.alias or name]["description"] = says


def _key_docs(model: type[BaseModel]) -> dict[str, str]:
    """The sentence that stands in the source below each key of a model and of those it is made from."""
    found: dict[str, str] = {}
    for each in reversed(model.__mro__):
        if not (issubclass(each, BaseModel) and each is not BaseModel):
            continue
        (written,) = ast.parse(dedent(inspect.getsource(each))).body
        assert isinstance(written, ast.ClassDef)
        for key, says in zip(written.body, written.body[1:], strict=False):
            if (
                isinstance(key, ast.AnnAssign)
                and isinstance(key.target, ast.Name)
                and isinstance(says, ast.Expr)
            ):
                text = ast.literal_eval(says.value)
                if key.target.id in model.model_fields and isinstance(text, str):
                    found[key.target.id] = " ".join(text.split())
    return found


def _models_under(model: type[BaseModel], seen: frozenset[type] = frozenset()) -> Iterator[type[BaseModel]]:
    for field in model.model_fields.values():
        for inner in _models_in(field.annotation):
            if inner not in seen:
                yield inner
                yield from _models_under(inner, seen | {model, inner})


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models_in(inner)


def _close(schema: Any) -> None:
    """Where keys have a form, refuse those of another; and take out titles that only repeat the key."""
    if isinstance(schema, list):
        for inner in schema:
            _close(inner)
    elif isinstance(schema, dict):
        if "patternProperties" in schema:
            schema.setdefault("additionalProperties", False)
        for name, inner in schema.items():
            if name == "properties":
                for key in inner.values():
                    key.pop("title", None)
            _close(inner)
