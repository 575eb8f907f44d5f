"""The common ground of every model of the rule language."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, FiniteFloat, StringConstraints


class Item(BaseModel):
    """A piece of a rule file: unknown keys are mistakes, and nothing changes after loading."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


def _no_double_underscore(name: str) -> str:
    if "__" in name:
        raise ValueError(f"'{name}' holds two underscores in a row; use one between words")
    return name


def _number(value: Any) -> Any:
    # Strict mode would refuse 3 where 3.0 is meant; a cellar writes both. True is not a number.
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _one_or_many(value: Any) -> Any:
    """A single word stands for a list of one, so that short rules stay short."""
    return (value,) if isinstance(value, str) else _as_tuple(value)


def _as_tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


Id = Annotated[
    str,
    StringConstraints(pattern=r"^[a-z][a-z0-9]*(_[a-z0-9]+)*$", max_length=60),
    AfterValidator(_no_double_underscore),
]
"""A name in a rule file: lower-case words joined by single underscores."""

FactName = Annotated[
    str, StringConstraints(pattern=r"^([a-z]+\.)?[a-z][a-z0-9]*(_[a-z0-9]+)*$", max_length=80)
]
"""A name that conditions may ask about: an id, or `cause.`, `fix.`, `test.`, `caution.` and an id."""

Word = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(_[a-z0-9]+)*$")]
"""An answer, a strength or another word with a meaning defined in the rule base."""

Number = Annotated[FiniteFloat, BeforeValidator(_number)]
Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=4000)]
Sources = Annotated[tuple[Id, ...], BeforeValidator(_one_or_many)]
Ids = Annotated[tuple[Id, ...], BeforeValidator(_one_or_many)]
Words = Annotated[tuple[Word, ...], BeforeValidator(_one_or_many)]
FactNames = Annotated[tuple[FactName, ...], BeforeValidator(_one_or_many)]
Texts = Annotated[tuple[Text, ...], BeforeValidator(_one_or_many)]
AsTuple = BeforeValidator(_as_tuple)
