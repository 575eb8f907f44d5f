"""Asking a case why, why not and what if, with the real command."""

from __future__ import annotations

import io
import json
import re
from itertools import product
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from diagnose.casebook.store import load_case
from diagnose.explain.asked import asked_about, explain, explain_not
from diagnose.explain.machine import ExplanationsOut
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.read import read_rule_base
from diagnose.present.console import Page, make_console
from diagnose.present.why import show_explained
from diagnose.shipped import shipped_folder

CASE = str(shipped_folder("cases") / "haze" / "demonstration.yaml")
SCHEMA = Path(__file__).resolve().parents[2] / "docs" / "explanations.schema.json"


def valid(text: str) -> Any:
    """What was printed, read by somebody who has only the schema."""
    value = json.loads(text)
    jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8"))).validate(value)
    return value


def test_the_schema_file_is_the_one_of_the_program() -> None:
    """The schema beside the pages is that of what is printed."""
    assert json.loads(SCHEMA.read_text(encoding="utf-8")) == ExplanationsOut.model_json_schema()


def test_without_a_name_the_first_cause_and_the_first_fix_are_explained(run: Any) -> None:
    """One sentence for each, and one that says how firm they stand; then both as JSON, with every leaf an answer."""
    short = run("why", CASE, "--length", "sentence")
    assert short.returncode == 0
    cause, fix, firm = (" ".join(part.split()) for part in short.stdout.strip().split("\n\n"))
    assert cause.startswith("Protein haze is confirmed, at 95 %: A clear sample that hazes")
    assert fix.startswith("“Take the protein out with bentonite” is open: ")
    assert "first cause, protein haze, stands firm: no single answer given turns it." in firm
    assert "first step, take the protein out with bentonite, would turn with one wrong answer" in firm
    value = valid(run("why", CASE, "--json").stdout)
    of_cause, of_fix = value["explanations"][:2]
    assert of_cause["cause"]["cause"] == "protein_haze"
    assert of_fix["said"]["id"] == "bentonite"
    assert " ".join(of_cause["sentence"].split()) in cause
    leaves = [
        leaf for spoke in of_cause["cause"]["spoke"] for step in spoke["behind"] for leaf in _leaves(step)
    ]
    assert {leaf["by"] for leaf in leaves} == {"answer"}


def _leaves(step: Any) -> list[Any]:
    return [leaf for behind in step["behind"] for leaf in _leaves(behind)] if step["behind"] else [step]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["why", CASE, "dose", "bentonite"], "dose_g_per_l x volume_l"),
        (["why-not", CASE, "pectin_haze"], "Looked at, and it did not say so"),
        (
            ["why-not", CASE, "fix", "filter_in_sequence", "--length", "sentence"],
            "” is forbidden: The protein",
        ),
    ],
)
def test_anything_can_be_asked_about(run: Any, words: list[str], said: str) -> None:
    """An amount, another cause, a forbidden fix, by id or a part of a name."""
    done = run(*words)
    assert done.returncode == 0, done.stderr
    assert said in done.stdout


ASKED = {
    "protein_haze": "10 % beforehand",
    "bentonite": "Rules that spoke",
    "dose bentonite": "dose_g_per_l x volume_l",
    "order": "Why in this order",
    "order wait_and_rack before bentonite": "Why in this order",
    "question ph": "Why ask: pH",
    "heat_test_eye": "You said Heat test read by eye",
    "test dissolve": "Why: ",
    "caution enzyme_dust": "Why this caution (not spoken of)",
}


def test_nothing_is_wider_than_the_screen() -> None:
    """Whatever is asked about, at 60, 80 and 120 columns every line of the full tree fits, and says what it is for."""
    cellar = Cellar(read_rule_base([shipped_folder("rules")]))
    case, state = load_case(Path(CASE), cellar.base)
    judged = judge(cellar, case.topics, state.facts(), machine="chain")
    for columns, (typed, said) in product((60, 80, 120), ASKED.items()):
        for ask in (explain, explain_not):
            out = io.StringIO()
            found = ask(cellar, judged, asked_about(cellar.base, judged, typed))
            show_explained(Page(make_console(out, columns)), cellar.base, found, "us", "full")
            assert max(map(len, out.getvalue().splitlines())) <= columns
            if ask is explain:
                assert said in " ".join(out.getvalue().replace("\u00a0", " ").split())


def test_what_if_moves_what_it_says_and_leaves_the_case(run: Any, home: Path) -> None:
    """A heat test read the other way: the chance falls, the fix goes, and the file is as it was, to the byte."""
    file = home / "mine.yaml"
    file.write_bytes(Path(CASE).read_bytes())
    before = file.read_bytes(), file.stat().st_mtime_ns
    done = run("what-if", str(file), "heat_test_eye=unchanged", "--without", "wine_colour")
    assert done.returncode == 0, done.stderr
    text = " ".join(done.stdout.split())
    assert re.search(r"Protein haze: 95 % → \d+ %", text.replace("\u00a0", " "))
    assert "First step - Take the protein out with bentonite → nothing" in text
    assert (file.read_bytes(), file.stat().st_mtime_ns) == before
    value = valid(run("what-if", str(file), "heat_test_eye=unchanged", "--json").stdout)
    assert value["explanations"][0]["what_if"]["first_fix"]["before"] == "bentonite"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["what-if", CASE, "ph=99"], "a pH cannot be above 14"),
        (["what-if", CASE, "gas=bubbles"], "Known: none"),
        (["what-if", CASE, "gas"], "write name=answer"),
        (["why", CASE, "nonsense"], "Nothing that is surely meant by 'nonsense'"),
        (["why", CASE, "stuck_too_cold"], "Near:"),
    ],
)
def test_what_cannot_be_asked_is_told(run: Any, words: list[str], said: str) -> None:
    """A value that cannot be, a word that is no answer, and a name that nobody has: said with the mend."""
    done = run(*words)
    assert done.returncode == 2
    assert said in " ".join(done.stderr.split())


def test_in_a_consultation(run: Any) -> None:
    """The same can be asked once the result is shown."""
    lines = [
        "white",
        *["skip"] * 3,
        "enough",
        "why caution enzyme_dust",
        "what if ph=3.9; without wine_colour",
        "what if ph",
        "why not tartar",
        "stop",
    ]
    done = run(lines=lines)
    text = " ".join(done.stdout.split())
    assert "Why this caution" in text
    assert "What if" in text and "Only supposed: the case stays as it is." in text
    assert "write name=answer" in text
