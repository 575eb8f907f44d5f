"""The schemas beside the pages, the page for editors, and the hooks that check before a commit."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
import yaml
from click.testing import CliRunner
from diagnose.cli import main as cli
from diagnose.commands.schema import SCHEMAS
from diagnose.knowledge.schema import rules_schema
from diagnose.knowledge.yaml_reader import read_text
from jsonschema import Draft202012Validator
from pages import DOCS, ROOT, blocks, page

KEPT = {
    "rules": "schemas/rules.schema.json",
    "cases": "schemas/cases.schema.json",
    "judgement": "judgement.schema.json",
    "plan": "plan.schema.json",
    "explanations": "explanations.schema.json",
}
HOOKS: list[dict[str, Any]] = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("kind", KEPT)
def test_the_schema_beside_the_pages_is_the_one_printed(kind: str) -> None:
    """`diagnose schema KIND > docs/...` writes it anew."""
    printed = CliRunner().invoke(cli.main, ["schema", kind])
    assert printed.exit_code == 0
    assert json.loads(printed.output) == json.loads((DOCS / KEPT[kind]).read_text(encoding="utf-8"))


def test_every_schema_can_be_printed_and_is_kept() -> None:
    """The command offers each, and no other."""
    argument = next(item for item in cli.main.commands["schema"].params if item.name == "kind")
    assert [*argument.type.choices] == [*SCHEMAS] == [*KEPT]  # type: ignore[attr-defined]
    assert CliRunner().invoke(cli.main, ["schema", "wines"]).exit_code == 2


def test_the_first_line_for_an_editor_is_a_remark() -> None:
    """The page shown passes the loader's reader and the schema."""
    (shown,) = blocks(page("how-to/editor.md"), "yaml")
    assert shown.text.startswith("# yaml-language-server: $schema=")
    value = read_text(shown.text, "page.yaml").value
    assert Draft202012Validator(rules_schema()).is_valid(value)


def test_hooks_have_what_the_framework_requires() -> None:
    """Its documents ask each hook for `id`, `name`, `entry` and `language` (https://pre-commit.com/#new-hooks)."""
    assert [hook["id"] for hook in HOOKS] == ["diagnose-check", "diagnose-try"]
    for hook in HOOKS:
        assert all(isinstance(hook[key], str) and hook[key] for key in ("id", "name", "entry", "language"))
        assert all(isinstance(word, str) for word in hook["args"])
        assert hook["pass_filenames"] is False
        assert re.search(hook["files"], "rules/base.yaml") and not re.search(hook["files"], "README.md")


def test_hooks_call_commands_that_are_there() -> None:
    """The entry is the command that the package installs, and its first word one of its commands."""
    scripts = (ROOT / "pyproject.toml").read_text(encoding="utf-8").partition("[project.scripts]")[2]
    for hook in HOOKS:
        assert f'{hook["entry"]} = "diagnose.cli.main:main"' in scripts
        assert hook["args"][0] in cli.main.commands


def test_the_hooks_shown_are_the_hooks_there_are() -> None:
    """What the page shows names hooks that exist, and options that the command takes."""
    (shown,) = (text for text in blocks(page("how-to/own-rules.md"), "yaml") if "repos:" in text.text)
    (repository,) = yaml.safe_load(shown.text)["repos"]
    assert [hook["id"] for hook in repository["hooks"]] == [hook["id"] for hook in HOOKS]
    for hook in repository["hooks"]:
        option, _, command, _ = hook["args"]
        assert option in {name for item in cli.main.params for name in item.opts}
        assert command in cli.main.commands
