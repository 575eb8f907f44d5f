"""A mentor asks which evidence rests on judgement, and can trust the list."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from io import StringIO
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pytest
import yaml
from diagnose.knowledge.read import read_rule_base
from diagnose.present.console import Page, make_console
from diagnose.present.judgements import show_judgements
from diagnose.shipped import shipped_folder
from terminal import Terminal

SOUND = Path(__file__).resolve().parents[1] / "knowledge" / "sound"
PLACE = re.compile(r"^ +([\w/]+\.yaml):(\d+)$", re.MULTILINE)


def _written(folder: Path) -> list[dict[str, Any]]:
    """Every item of a folder of rules, read without the program."""
    items: list[dict[str, Any]] = []
    for file in sorted(folder.rglob("*.yaml")):
        value = yaml.load(file.read_text(encoding="utf-8"), yaml.BaseLoader)
        items += value if isinstance(value, list) else [value]
    return items


@pytest.fixture(scope="module")
def not_on_texts_alone() -> tuple[int, int]:
    """How many rows of evidence name a source that is no text, and how many rows there are; counted apart."""
    items = _written(shipped_folder("rules"))
    texts = {item["source"] for item in items if "source" in item and item.get("seen") in ("read", "quoted")}
    rows = [row["source"] for item in items if "cause" in item for row in item["evidence"]]
    named = [{row} if isinstance(row, str) else set(row) for row in rows]
    return sum(not sources <= texts for sources in named), len(rows)


@pytest.fixture
def piped(run) -> Iterator[str]:
    """The list as a script gets it."""
    done = run("check", "--judgements")
    assert done.returncode == 0, done.stderr
    yield done.stdout


def test_the_list_holds_every_such_row_and_no_other(piped: str, not_on_texts_alone: tuple[int, int]) -> None:
    """As many places are listed as a count without the program finds, none twice, and each is a row of evidence."""
    places = PLACE.findall(piped)
    listed, rows = not_on_texts_alone
    assert len(places) == len(set(places)) == listed
    assert f"All: {rows} rows; {rows - listed} on texts alone" in " ".join(piped.split())
    for file, line in places:
        written = (shipped_folder("rules") / file).read_text(encoding="utf-8").splitlines()[int(line) - 1]
        assert re.match(r" *- (observe|when):", written), (file, line, written)


def test_rules_that_rest_on_texts_alone_have_no_places_to_name() -> None:
    """A mentor whose every row has a text behind it reads that nothing is left, and is sent to no folder."""
    base = read_rule_base([SOUND])
    read = {name: source.model_copy(update={"seen": "read"}) for name, source in base.sources.items()}
    said = {}
    for name, rules in {"judgement": base, "texts": replace(base, sources=MappingProxyType(read))}.items():
        out = StringIO()
        show_judgements(Page(make_console(out, 80)), rules)
        said[name] = " ".join(out.getvalue().split())
    assert "Places are under" in said["judgement"] and "pages.yaml:" in said["judgement"]
    assert "Places are under" not in said["texts"] and "pages.yaml:" not in said["texts"]
    assert "All: 3 rows; 3 on texts alone" in said["texts"]


def test_the_counts_of_the_topics_add_up(piped: str) -> None:
    """The line at the end is the sum of the lines of the topics, figure by figure."""
    told = " ".join(piped.split()).partition("How many rows rest on what")[2]
    lines = re.findall(
        r"(\d+) rows; (\d+) on texts alone, (\d+) on a text and something beside it, (\d+) on judgement, (\d+) on",
        told,
    )
    figures = [tuple(map(int, line)) for line in lines]
    assert len(figures) > 5
    assert figures[-1] == tuple(map(sum, zip(*figures[:-1], strict=True)))
    assert all(figure[0] == sum(figure[1:]) for figure in figures)


def test_a_row_is_told_in_plain_sentences(piped: str) -> None:
    """What the row says, why, what it rests on and where it is, without a word of the rule language."""
    told = " ".join(piped.split())
    row = told.partition("Crystals and cold stability")[2].partition("yaml:")[0]
    assert "speaks for it" in row and "speaks slightly against it" in row
    assert "No text. It rests on: judgement of the authors of these rules." in row
    assert not re.search(r"(speaks|slightly|strongly)_\w+", told)


def test_a_row_given_a_text_leaves_the_list(run, tmp_path: Path) -> None:
    """Once a mentor has found a text and named it, the row is no longer listed."""
    rules = tmp_path / "rules"
    for file in shipped_folder("rules").rglob("*.yaml"):
        copy = rules / file.relative_to(shipped_folder("rules"))
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_bytes(file.read_bytes())
    page = rules / "haze" / "causes" / "protein_haze.yaml"

    def listed() -> int:
        done = run("--rules", str(rules), "check", "--judgements")
        return sum(file.endswith("protein_haze.yaml") for file, _ in PLACE.findall(done.stdout))

    before = listed()
    text = page.read_text(encoding="utf-8")
    evidence, _, rest = text.partition("\nmimics:")
    page.write_text(
        evidence.replace("source: logic", "source: awri_heat") + "\nmimics:" + rest, encoding="utf-8"
    )
    assert listed() == before - len(re.findall(r"source: logic$", evidence, re.MULTILINE)) < before


def test_case_files_do_not_belong_to_it(run, tmp_path: Path) -> None:
    """A case file beside it is a misuse, and is said to be one."""
    done = run("check", "--judgements", str(tmp_path / "case.yaml"))
    assert done.returncode == 2
    assert "takes no case files" in done.stderr


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_it_fits_the_terminal(environment: dict[str, str], columns: int) -> None:
    """No line is wider than 60, 80 or 120 columns, and the places stay whole."""
    terminal = Terminal(environment, "check", "--judgements", columns=columns)
    try:
        terminal.read_rest(60)
        assert terminal.wait() == 0
    finally:
        terminal.end()
    screen = re.sub(r"\x1b\[[0-9;?]*[a-zA-Z]|\r", "", terminal.raw)
    assert max(map(len, screen.splitlines())) <= columns
    assert len(PLACE.findall(screen)) > 500
