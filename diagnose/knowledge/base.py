"""The common ground of every model of the rule language."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    FiniteFloat,
    GetJsonSchemaHandler,
    StringConstraints,
)
from pydantic_core import CoreSchema, PydanticCustomError

ID_PATTERN = r"^[a-z][a-z0-9]*(_[a-z0-9]+)*$"
FACT_PATTERN = r"^([a-z]+\.)?[a-z][a-z0-9]*(_[a-z0-9]+)*$"
WORD_PATTERN = r"^[a-z0-9]+(_[a-z0-9]+)*$"
VERSION_PATTERN = r"^[0-9]+\.[0-9]+\.[0-9]+$"
PRINT_PATTERN = r"^[0-9a-f]{8}$"


class Item(BaseModel):
    """A piece of a rule file: unknown keys are mistakes, and nothing changes after loading."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)

    example: ClassVar[str] = ""
    """What a person should have written, for the message when something else stands in its place."""


def mistake(what: str, mend: str, key: str = "") -> PydanticCustomError:
    """A mistake in an item as a whole, in our words; `key` is what it is about, an inner key with points between."""
    return PydanticCustomError("mistake", "{what}", {"what": what, "mend": mend, "key": key})


def _number(value: Any) -> Any:
    # Strict mode would refuse 3 where 3.0 is meant; a cellar writes both. True is not a number.
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _rising(ends: tuple[float, float]) -> tuple[float, float]:
    if ends[0] > ends[1]:
        raise mistake(f"the range {ends[0]:g} to {ends[1]:g} falls.", "Write the lower end first.")
    return ends


def _one_or_many(value: Any) -> Any:
    """A single word stands for a list of one, so that short rules stay short."""
    return (value,) if isinstance(value, str) else _as_tuple(value)


def _as_tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


class AlsoWritten:
    """Tells the JSON Schema of a shorter form of a value in a file: `form`, or else one entry in place of a list."""

    def __init__(self, form: dict[str, Any] | None = None) -> None:
        self.form = form

    def __get_pydantic_json_schema__(
        self, core_schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Either form."""
        whole = handler(core_schema)
        return {"anyOf": [self.form or whole["items"], whole]}


Id = Annotated[str, StringConstraints(pattern=ID_PATTERN, max_length=60)]
"""A name in a rule file: lower-case words joined by single underscores."""

FactName = Annotated[str, StringConstraints(pattern=FACT_PATTERN, max_length=80)]
"""A name that conditions may ask about: an id, or `cause.`, `fix.`, `test.`, `caution.` and an id."""

Word = Annotated[str, StringConstraints(pattern=WORD_PATTERN, max_length=60)]
"""An answer, a strength or another word with a meaning defined in the rule base."""

Number = Annotated[FiniteFloat, BeforeValidator(_number)]
Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=4000)]


class RulePage(Item):
    """A page that a cellar's own folder may put in the place of one of the same kind and name below it."""

    replaces_because: Text | None = None
    """Why it stands in the place of the page below; only in a cellar's own folder."""


Sources = Annotated[tuple[Id, ...], BeforeValidator(_one_or_many), AlsoWritten()]
Ids = Annotated[tuple[Id, ...], BeforeValidator(_one_or_many), AlsoWritten()]
Words = Annotated[tuple[Word, ...], BeforeValidator(_one_or_many), AlsoWritten()]
FactNames = Annotated[tuple[FactName, ...], BeforeValidator(_one_or_many), AlsoWritten()]
Texts = Annotated[tuple[Text, ...], BeforeValidator(_one_or_many), AlsoWritten()]
AsTuple = BeforeValidator(_as_tuple)
Range = Annotated[tuple[Number, Number], AsTuple, AfterValidator(_rising)]
"""The lower and the upper end of a stretch of numbers."""
