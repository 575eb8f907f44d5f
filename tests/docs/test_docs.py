"""The pages for people are held to the program: what they say is there, and what is there they say."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator, Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any, get_args, get_origin

import click
import pytest
import yaml
from calculators_page import PAGE, calculators_page
from click.testing import CliRunner
from diagnose.calculators import calculators, worksheets
from diagnose.casebook.case import read_case
from diagnose.casebook.models import CaseFile, Event
from diagnose.cli import main as cli
from diagnose.commands import status
from diagnose.engine.compile import compile_rules
from diagnose.explain.machine import ExplanationsOut
from diagnose.judgement.expectations import misses
from diagnose.judgement.judge import Cellar, judge
from diagnose.judgement.machine import JudgementOut
from diagnose.judgement.plan_machine import PlanOut
from diagnose.knowledge.base import Item, RulePage
from diagnose.knowledge.conditions import Condition, FactTest
from diagnose.knowledge.glossary import word_meant
from diagnose.knowledge.links.conditions import CONCLUDED
from diagnose.knowledge.links.vocabulary import WORD_TABLES
from diagnose.knowledge.models.causes import Cause
from diagnose.knowledge.models.kinds import KINDS
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.knowledge.yaml_reader import read_text
from diagnose.review.weakness import KINDS as WEAK_KINDS
from diagnose.units import canonical_unit, quantities
from pages import DOCS, ROOT, all_text, anchors, blocks, key_tables, links, page, pages, rows, table_under
from pydantic import BaseModel, create_model
from rooms import PACKAGE, arrows
from validation_page import PAGE as VALIDATION
from validation_page import validation_page

RULES = ROOT / "rules"
LANGUAGE = page("rule-language.md")
CASES = page("case-files.md")
COMMANDS = page("commands.md")


def models_under(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    """A model and every model inside it."""
    yield model
    for field in model.model_fields.values():
        for inner in _models_in(field.annotation):
            if inner is not model:
                yield from models_under(inner)


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if get_origin(annotation) is None and isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models_in(inner)


ITEMS = {inner for model in KINDS.values() for inner in models_under(model)} | {FactTest, Condition, RulePage}
CASE_ITEMS = set(models_under(CaseFile))


def keys_of(model: type[BaseModel]) -> dict[str, bool]:
    """Each key as it is written in a file, and whether it must be there."""
    named = {field.alias or name: field.is_required() for name, field in model.model_fields.items()}
    # The facts of a condition are its other keys, and have no key of their own.
    # What every page may have stands in one table of its own.
    shared = RulePage.model_fields if model is not RulePage and issubclass(model, RulePage) else {}
    return {key: must for key, must in named.items() if not key.startswith("~") and key not in shared}


# ---------------------------------------------------------------- the rule language


@pytest.mark.parametrize(
    ("model", "text"),
    [(model, LANGUAGE) for model in sorted(ITEMS, key=lambda model: model.__name__)]
    + [(model, CASES) for model in sorted(CASE_ITEMS, key=lambda model: model.__name__)],
    ids=lambda value: value.__name__ if isinstance(value, type) else "",
)
def test_every_key_stands_in_its_table(model: type[BaseModel], text: str) -> None:
    """A mentor finds every key a page may have, no key it may not, and whether it must be there."""
    table = key_tables(text)[model.__name__]
    told = {key: last.partition(" ")[0].rstrip(";") for key, last in table.items()}
    assert told == {key: "yes" if must else "no" for key, must in keys_of(model).items()}


def test_every_kind_of_item_is_listed() -> None:
    """The list of kinds is the list the program knows."""
    listed = {row[0].strip("`") for row in table_under(LANGUAGE, "| first key |")}
    assert listed == set(KINDS)


def test_every_kind_of_weakness_is_told() -> None:
    """A mentor who meets a kind of weakness finds it on the page that tells what to think of it."""
    table = table_under(page("how-to/read-the-check.md"), "| kind |")
    assert sorted(row[0].strip("`") for row in table) == sorted(WEAK_KINDS)


def _plainly(text: str) -> str:
    """A cell of a table as the terminal says it: no links, and no marks about a word."""
    return re.sub("[*`']", "", re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", text))


def test_the_glossary_says_what_the_rules_say(shipped: RuleBase) -> None:
    """A word means the same on the page and at the terminal; every word of the trade is on both."""
    whose = {"trade": "trade", "numbers": "trade (of numbers)", "ours": "ours"}
    rows = {
        (_plainly(called), kind, _plainly(means))
        for called, kind, means in table_under(page("glossary.md"), "| word |")
    }
    pages = {
        (
            ", ".join(word.called),
            whose[word.whose],
            _plainly(word.means) + (" (from memory)" if "from_memory" in word.source else ""),
        )
        for word in shipped.glossary.values()
    }
    assert pages <= rows
    assert not [row for row in rows - pages if row[1] != "ours"]


def test_every_hard_word_is_explained(shipped: RuleBase) -> None:
    """No question leans on a glossary that lacks the word."""
    hard = {word for wording in shipped.wording.values() for word in wording.jargon}
    assert hard and not [word for word in hard if word_meant(shipped, word) is None]


def test_every_word_of_every_table_is_told(shipped: RuleBase) -> None:
    """A mentor can look up every word that carries a number."""
    told = {
        row[0].strip("`"): set(re.findall(r"`(\w+)`", row[2])) for row in table_under(LANGUAGE, "| table |")
    }
    assert told == {name: set(table.values) for name, table in shipped.words.items()}
    assert set(told) == set(WORD_TABLES)


def test_strengths_stand_with_their_numbers(shipped: RuleBase) -> None:
    """The numbers behind the strengths, and what they mean as a ratio, are the true ones."""
    spelt = {"twice": 2, "half": 1 / 2, "a fifth": 1 / 5, "a twentieth": 1 / 20, "a hundredth": 1 / 100}
    told = table_under(LANGUAGE, "| word | number")
    assert {row[0].strip("`"): float(row[1]) for row in told} == dict(shipped.words["strength"].values)
    for word, number, roughly in told:
        said = re.match(r"(\d+) times", roughly)
        ratio = float(said[1]) if said else spelt[roughly.split(" as ")[0]]
        assert ratio == pytest.approx(10 ** (float(number) / 10), rel=0.01), word


def test_standings_are_told_as_they_are(shipped: RuleBase) -> None:
    """`Likely from one half, possible from 8 in a hundred` is what the table says."""
    assert shipped.word("standing", "likely") == 0.5
    assert shipped.word("standing", "possible") == 0.08
    assert shipped.word("standing", "unlikely") == 0
    assert "**likely** from a chance of one half, **possible** from 8 in a hundred" in LANGUAGE


def test_every_quantity_stands_with_its_unit() -> None:
    """A number in a rule file has the unit the page says."""
    told = {row[0].strip("`"): row[1] for row in table_under(LANGUAGE, "| quantity | unit")}
    assert told == {name: canonical_unit(name) or "(none)" for name in quantities()}


def test_what_is_concluded_about_pages_is_told() -> None:
    """Every fact that a rule may ask about a page is listed with its words."""
    listed = {
        row[0].strip("`"): re.findall(r"`(\w+)`", row[1]) for row in table_under(LANGUAGE, "| fact | words")
    }
    assert listed == {f"{kind}.NAME": list(words) for kind, words in CONCLUDED.items()}


@pytest.fixture(scope="module")
def shipped() -> RuleBase:
    """The rules that come with the program."""
    return read_rule_base([RULES])


@pytest.fixture(scope="module")
def oak(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder `oak` with every whole item shown on the page, as its reader would make it."""
    folder = tmp_path_factory.mktemp("example") / "oak"
    folder.mkdir()
    items = [block.text for block in blocks(LANGUAGE, "yaml") if not block.text.startswith("case:")]
    for number, text in enumerate(items):
        (folder / f"{number}.yaml").write_text(text, encoding="utf-8")
    return folder


def test_examples_load_beside_the_shipped_rules(oak: Path) -> None:
    """What the page shows may be copied: it loads without a mistake, and becomes rules."""
    base = read_rule_base([RULES, oak])
    assert {"oak_dust"} <= set(base.causes)
    assert any(rule.id == "evidence/oak_dust/1_oak_used" for rule in compile_rules(base))


def test_the_worked_example_finds_its_cause(oak: Path) -> None:
    """The small cause made from nothing is found in its own case, and not where no oak was used."""
    base = read_rule_base([RULES, oak])
    cellar = Cellar(base)
    (text,) = (block.text for block in blocks(LANGUAGE, "yaml") if block.text.startswith("case:"))
    case, state = read_case(read_text(text, "case.yaml"), base)
    assert case.expect is not None
    assert list(misses(base, judge(cellar, case.topics, state.facts()), case.expect)) == []
    none = read_case(read_text(text.replace("oak_used: powder", "oak_used: none"), "case.yaml"), base)[1]
    none.answers.pop("oak_jar")
    assert judge(cellar, case.topics, none.facts()).first.cause != "oak_dust"


def test_the_example_shows_every_kind_a_mentor_adds(oak: Path) -> None:
    """Each kind of item is shown at least once, whole or in part."""
    shown = {match for block in blocks(LANGUAGE) for match in re.findall(r"^(?:- )?(\w+):", block.text, re.M)}
    assert set(KINDS) - {"rule_base", "source"} <= shown


@pytest.mark.parametrize("text", [block.text for block in blocks(LANGUAGE, "yaml part")])
def test_parts_of_items_are_sound(text: str) -> None:
    """A shortened example is right as far as it goes."""
    value = read_text(text, "part.yaml").value
    first = next(iter(value))
    whole = KINDS.get(first)
    if whole is not None:
        whole.model_validate(value)
    else:
        partial(Fix if first in Fix.model_fields else Cause, value).model_validate(value)


def partial(model: type[BaseModel], value: Mapping[str, object]) -> type[BaseModel]:
    """A model that asks only for the keys given; a lone `when` is a condition."""
    fields: dict[str, Any] = {
        key: (Condition, ...)
        if key == "when"
        else (model.model_fields[key].annotation, model.model_fields[key])
        for key in value
    }
    return create_model("Part", __base__=Item, **fields)


def _mistakes() -> list[tuple[str, str]]:
    found = blocks(LANGUAGE)
    return [(block.text, after.text) for block, after in pairwise(found) if block.info == "yaml mistake"]


@pytest.mark.parametrize(("wrong", "message"), _mistakes())
def test_messages_are_the_real_ones(
    wrong: str, message: str, oak: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the page says the checks will say, they say, to the letter."""
    monkeypatch.chdir(oak.parent)
    file = oak / "mistake.yaml"
    file.write_text(wrong, encoding="utf-8")
    try:
        with pytest.raises(RuleFilesWrong) as caught:
            read_rule_base([RULES, Path("oak")])
    finally:
        file.unlink()
    assert str(caught.value) == message.rstrip("\n")


def test_two_mistakes_are_shown() -> None:
    """The test above has something to look at."""
    assert len(_mistakes()) == 2


# ---------------------------------------------------------------- case files


@pytest.mark.parametrize("text", [block.text for block in blocks(CASES, "yaml")])
def test_case_examples_load(text: str, shipped: RuleBase) -> None:
    """The cases shown can be opened; what they expect comes out."""
    case, state = read_case(read_text(text, "case.yaml"), shipped)
    if case.expect is not None:
        assert list(misses(shipped, judge(Cellar(shipped), case.topics, state.facts()), case.expect)) == []


def test_every_event_is_told() -> None:
    """Whoever reads a case by hand finds what each event means."""
    told = {row[0].strip("`") for row in table_under(CASES, "| `did` | meaning")}
    assert told == set(get_args(Event.model_fields["did"].annotation))


def test_the_schema_file_is_current() -> None:
    """The schema beside the pages is the one the program prints."""
    kept = json.loads((DOCS / "judgement.schema.json").read_text(encoding="utf-8"))
    printed = CliRunner().invoke(cli.main, ["check", "--schema"])
    assert printed.exit_code == 0
    assert kept == json.loads(printed.output) == JudgementOut.model_json_schema()


def test_the_schema_of_the_plan_is_current() -> None:
    """The schema beside the pages is that of `plan --json`."""
    kept = json.loads((DOCS / "plan.schema.json").read_text(encoding="utf-8"))
    assert kept == PlanOut.model_json_schema()


def test_every_field_of_the_judgement_is_told() -> None:
    """A program that reads the judgement finds every field explained, and none that is not there."""
    told = {
        match[1]: {row[0].strip("`") for row in rows(match[2])}
        for match in re.finditer(r"<!-- fields: (\w+) -->\n\n((?:\|.*\n)+)", CASES)
    }
    schema = JudgementOut.model_json_schema()
    known = {"JudgementOut": schema, **schema["$defs"]}
    assert told == {name: set(part["properties"]) for name, part in known.items()}


def test_every_field_of_an_explanation_is_told() -> None:
    """A program that reads an explanation finds every field of its schema in the tables, and none that is not there."""
    told = {
        match[1]: {row[0].strip("`") for row in rows(match[2])}
        for match in re.finditer(r"<!-- fields: (\w+) -->\n\n((?:\|.*\n)+)", page("explanations.md"))
    }
    schema = ExplanationsOut.model_json_schema()
    assert schema == json.loads((DOCS / "explanations.schema.json").read_text(encoding="utf-8"))
    known = {"ExplanationsOut": schema, **schema["$defs"]}
    assert told == {name: set(part["properties"]) for name, part in known.items()}


# ---------------------------------------------------------------- commands, calculators, links, rooms


def test_every_command_and_option_is_told() -> None:
    """Nothing can be typed at the prompt that the page does not know, and it knows nothing else."""
    commands = {row[0].strip("`").split()[1] for row in table_under(COMMANDS, "| command |") if " " in row[0]}
    assert commands == set(cli.main.commands)
    listed = {
        name for row in table_under(COMMANDS, "| option |") for name in re.findall(r"`(--?[\w-]+)`", row[0])
    }
    assert listed == set(_options(cli.main)) | {"--help", "-h"}


def _options(command: click.Command) -> Iterator[str]:
    for parameter in command.params:
        if isinstance(parameter, click.Option):
            yield from parameter.opts
    if isinstance(command, click.Group):
        for inner in command.commands.values():
            yield from _options(inner)


def test_every_exit_status_is_told() -> None:
    """A script that calls the program can rely on the list."""
    known = {value for name, value in vars(status).items() if name.isupper()}
    assert {int(row[0]) for row in table_under(COMMANDS, "| status |")} == known


def test_every_variable_is_told() -> None:
    """Every environment variable the program looks at is named."""
    told = {row[0].strip("`") for row in table_under(COMMANDS, "| variable |")}
    source = "\n".join(file.read_text(encoding="utf-8") for file in PACKAGE.rglob("*.py"))
    assert told == set(re.findall(r'"(DIAGNOSE_[A-Z]+|NO_COLOR)"', source))


def test_every_key_of_the_conversation_is_told() -> None:
    """What the program compares a typed line with is on the page."""
    talk = ast.parse((PACKAGE / "interview" / "talk.py").read_text(encoding="utf-8"))
    compared = {
        part.value
        for node in ast.walk(talk)
        if isinstance(node, ast.Compare)
        and isinstance(node.left, ast.Name)
        and node.left.id in ("word", "verb")
        for part in ast.walk(node)
        if isinstance(part, ast.Constant) and isinstance(part.value, str)
    }
    told = " ".join(row[0] for name in ("| key | what it does |",) for row in _every_table(COMMANDS, name))
    synonyms = {"help", "how", "done", "yes", "y", "no", "n", "later"}
    assert {word for word in compared - synonyms if word not in told} == set()
    assert {"why", "back", "more", "trial"} <= compared


def _every_table(text: str, head: str) -> Iterator[list[str]]:
    for part in text.split(head)[1:]:
        yield from table_under(head + part, head)


def test_the_list_of_calculators_is_current() -> None:
    """The page of calculators is what the registry gives; `python tests/docs/calculators_page.py` writes it."""
    assert PAGE.read_text(encoding="utf-8") == calculators_page()
    assert all(f"`{name}`" in all_text() for name in (*calculators(), *worksheets()))


def test_the_page_of_validation_is_current() -> None:
    """The page holds the figures as they come out today; `python tests/docs/validation_page.py` writes it."""
    assert VALIDATION.read_text(encoding="utf-8") == validation_page()


@pytest.mark.parametrize("file", sorted(pages()), ids=lambda file: file.name)
def test_every_link_leads_somewhere(file: Path) -> None:
    """No page sends its reader to a file or a heading that is not there."""
    for link in links(pages()[file]):
        if re.match(r"[a-z]+:", link):
            continue
        path, _, anchor = link.partition("#")
        target = (file.parent / path).resolve() if path else file
        assert target.exists(), link
        if anchor:
            assert anchor in anchors(target.read_text(encoding="utf-8")), link


def test_the_table_of_rooms_is_true() -> None:
    """The arrows on the page are the imports in the source."""
    told = {
        row[0].strip("`"): set(re.findall(r"`(\w+)`", row[2]))
        for row in table_under(page("architecture.md"), "| room |")
    }
    assert told == arrows()


def test_the_linter_of_imports_knows_the_rooms_in_the_order_of_the_table() -> None:
    """A room imports only from rooms above it in the table; the linter holds that, and it must have all of them."""
    contract = (ROOT / "pyproject.toml").read_text(encoding="utf-8").partition("[tool.importlinter]")[2]
    layers = re.findall(r'"(\w+)"', contract.partition("layers = [")[2].partition("]")[0])
    assert layers[::-1] == [row[0].strip("`") for row in table_under(page("architecture.md"), "| room |")]


def test_files_named_on_the_architecture_page_exist() -> None:
    """The way of an answer can be followed in the source."""
    named = set(re.findall(r"`(\w+/(?:\w+/)?(?:\w+\.py)?)`", page("architecture.md"))) - {
        "rules/",
        "diagnose/",
    }
    assert len(named) > 15
    assert {name for name in named if not (PACKAGE / name).exists()} == set()


def test_pages_are_plain_yaml_where_they_say_so() -> None:
    """Every block marked as YAML is YAML, those that show a mistake included."""
    shown = [block for text in pages().values() for block in blocks(text) if block.info.startswith("yaml")]
    assert len(shown) > 10
    for block in shown:
        yaml.compose(block.text)
