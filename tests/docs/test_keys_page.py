"""The page of keys is held to the models: nothing on it is written by hand, and no key is without a meaning."""

from __future__ import annotations

import pytest
from diagnose.knowledge.models.kinds import KINDS
from keys_page import PAGE, fields_of, inner_models, keys_page, meanings, plain_name
from pages import table_under
from pydantic import BaseModel

MODELS = [*KINDS.values(), *inner_models()]


def test_the_page_of_keys_is_current() -> None:
    """The page is what the models give today; `python tests/docs/keys_page.py` writes it."""
    assert PAGE.read_text(encoding="utf-8") == keys_page()


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_key_has_a_meaning(model: type[BaseModel]) -> None:
    """No key is listed without a sentence that says what it is for."""
    written = meanings(model)
    for key, name, _ in fields_of(model):
        assert written[name][1].endswith("."), key


@pytest.mark.parametrize(("kind", "model"), KINDS.items(), ids=KINDS)
def test_a_mentor_finds_every_key_of_a_kind_under_its_head(kind: str, model: type[BaseModel]) -> None:
    """Each kind has a head of its own, with the kind as its first key and all others below."""
    text = PAGE.read_text(encoding="utf-8")
    part = text[text.index(f"\n### `{kind}`\n") :]
    listed = [row[0].strip("`") for row in table_under(part, "| key |")]
    assert listed[0] == kind
    assert set(listed) == {key for key, _, _ in fields_of(model)}


def test_no_two_parts_share_a_head() -> None:
    """A link to a part leads to that part and no other."""
    names = [plain_name(model) for model in inner_models()]
    assert len(set(names)) == len(names)
