"""The JSON Schemas that an editor is given, held against every file and read by an outside checker."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from diagnose.casebook.models import CaseFile
from diagnose.knowledge.models.kinds import KINDS
from diagnose.knowledge.schema import file_schema, rules_schema
from diagnose.knowledge.yaml_reader import read_file, read_text
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from pydantic import ValidationError
from rule_folders import BROKEN, SOUND

ROOT = Path(__file__).resolve().parents[2]
RULES = Draft202012Validator(rules_schema())
CASES = Draft202012Validator(file_schema(CaseFile))
SHIPPED = sorted((ROOT / "rules").rglob("*.yaml"))


def items_of(files: list[Path]) -> Iterator[dict[str, Any]]:
    """Every item of these files, in plain values."""
    for file in files:
        value = read_file(file).value
        yield from value if isinstance(value, list) else [value]


ITEMS = [*items_of(SHIPPED)]


@pytest.mark.parametrize("checker", [RULES, CASES], ids=["rules", "cases"])
def test_a_schema_is_one(checker: Draft202012Validator) -> None:
    """An editor can use it."""
    Draft202012Validator.check_schema(checker.schema)


def test_every_shipped_and_sound_rule_file_passes() -> None:
    """No editor underlines a page that is right, in whatever short form it is written."""
    files = [*SHIPPED, *sorted(SOUND.glob("*.yaml"))]
    assert len(files) > 50
    wrong = {str(file): error.message for file in files for error in RULES.iter_errors(read_file(file).value)}
    assert wrong == {}


def test_every_worked_case_passes() -> None:
    """The same for case files."""
    files = sorted((ROOT / "cases").rglob("*.yaml"))
    assert len(files) > 100
    wrong = {str(file): error.message for file in files for error in CASES.iter_errors(read_file(file).value)}
    assert wrong == {}


def test_a_case_just_begun_passes() -> None:
    """The key of its events stands there with nothing below it."""
    assert CASES.is_valid(read_text("case: mine\ntitle: Mine\nevents:\n", "case.yaml").value)


CAUTION = "- caution: wood_dust\n  says: It irritates.\n  harms: person\n  source: judgement\n"
RULE = "- rule: one\n  when: {ph: {at_least: 3.5}, any: [{gas: none}, {unknown: gas}]}\n  warn: wood_dust\n"
RULE += "  because: Invented.\n  source: judgement\n"


@pytest.mark.parametrize(
    ("text", "right", "wrong"),
    [
        (CAUTION, "harms", "harm"),
        (CAUTION, "harms: person", "harms: people"),
        (CAUTION, "caution: wood_dust", "caution: Wood dust"),
        (CAUTION, "source: judgement", "source: 3"),
        (CAUTION, "  source: judgement\n", ""),
        (CAUTION, "caution:", "warning:"),
        (RULE, "at_least", "at_leat"),
        (RULE, "3.5", "'3.5'"),
        (RULE, "unknown: gas", "unknown: [3]"),
        (RULE, "any: [", "any: [3, "),
        (RULE, "{gas: none}", "{Gas seen: none}"),
        (RULE, "  because: Invented.\n", ""),
        (RULE, "warn:", "warns:"),
    ],
)
def test_a_slip_is_seen(text: str, right: str, wrong: str) -> None:
    """A misspelt key, a wrong word, a number as text: an editor underlines them, and nothing before the slip."""
    assert right in text
    assert RULES.is_valid(read_text(text, "page.yaml").value)
    assert not RULES.is_valid(read_text(text.replace(right, wrong), "page.yaml").value)


SEEN_BY_AN_EDITOR = [
    "typo_in_key",
    "key_too_much",
    "heard_typo_in_key",
    "item_is_a_word",
    "empty_mapping",
    "typo_in_literal",
    "typo_in_nested_key",
    "boolean_as_harm",
    "boolean_as_number",
    "number_as_text",
    "one_number_as_range",
    "three_numbers_as_range",
    "decimal_comma",
    "word_as_condition",
    "capital_in_id",
    "unknown_kind",
    "bad_fact_name",
    "key_missing",
    "number_with_unit",
    "version_of_two_numbers",
]


@pytest.mark.parametrize("page", SEEN_BY_AN_EDITOR)
def test_broken_pages_of_the_loader_are_broken_for_an_editor(page: str) -> None:
    """What the loader refuses in one page by itself, the schema refuses."""
    assert not RULES.is_valid(read_file(BROKEN / f"{page}.yaml").value)


@pytest.mark.parametrize(
    "text", ["case: mine\ntitel: Mine\n", "case: mine\ntitle: Mine\nevents: [{did: done}]\n"]
)
def test_a_slip_in_a_case_is_seen(text: str) -> None:
    """A misspelt key, and an event without its day."""
    assert not CASES.is_valid(read_text(text, "case.yaml").value)


@given(data=st.data())
def test_any_misspelt_key_of_any_shipped_page_is_seen(data: st.DataObject) -> None:
    """Whichever key of whichever page is misspelt, schema and loader both refuse it."""
    item = data.draw(st.sampled_from(ITEMS))
    key = data.draw(st.sampled_from([*item]))
    misspelt = {name + "_x" if name == key else name: value for name, value in item.items()}
    assert RULES.is_valid(item) and not RULES.is_valid(misspelt)
    kind = next(iter(item))
    with pytest.raises(ValidationError):
        KINDS[kind].model_validate(misspelt)


def test_an_editor_tells_what_kinds_and_keys_mean() -> None:
    """Every kind has a sentence, and a key has the one that stands with it in the source."""
    definitions = RULES.schema["$defs"]
    assert all(told["description"] for told in definitions["item"]["properties"].values())
    assert set(definitions["item"]["properties"]) == set(KINDS)
    observe = definitions["item_observe"]["properties"]
    assert observe["stays"]["description"].startswith("`wine`: what was answered once")
    assert "takes the" not in observe["stays"]["description"]
    assert definitions["Follows"]["properties"]["days"]["description"].startswith("How many days")
    assert CASES.schema["properties"]["wine"]["description"].startswith("Which wine")
