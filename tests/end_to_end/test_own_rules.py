"""A cellar's own folder over the real command, from the page that tells how to the report. All of it is invented."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "how-to" / "own-rules.md").read_text(encoding="utf-8")
CASE = str(ROOT / "cases" / "haze" / "demonstration.yaml")
REASON = "In this cellar clay is only ever stirred in by hand."
NAME = "rule_base: garage\nversion: 0.1.0\nabout: Invented.\n"


@pytest.fixture
def own(home: Path) -> Path:
    """An own folder in which one fix is replaced by itself, with a reason."""
    folder = home / "garage_rules"
    folder.mkdir()
    shipped = (ROOT / "rules" / "haze" / "fixes" / "bentonite.yaml").read_text(encoding="utf-8")
    first, _, rest = shipped.partition("\n")
    (folder / "base.yaml").write_text(NAME)
    (folder / "clay.yaml").write_text(f"{first}\nreplaces_because: {REASON}\n{rest}", encoding="utf-8")
    return folder


def flat(text: str) -> str:
    """A screen as one line."""
    return " ".join(text.split())


def test_the_page_shows_what_works(run, home: Path) -> None:
    """The folder that the page builds up stands, and the check counts its pages as the page says."""
    found = re.findall(r"```yaml\n# (garage_rules/\S+)\n(.*?)```", PAGE, re.S)
    assert len(found) == 3
    for name, text in found:
        (home / name).parent.mkdir(exist_ok=True)
        (home / name).write_text(text, encoding="utf-8")
    done = run("--own", str(home / "garage_rules"), "check")
    assert done.returncode == 0, done.stderr
    said = flat(done.stdout)
    assert "garage 0.1.0, on top: pages that are new 0, in the place of one below 1, taken out 1" in said
    assert "taken out by garage 0.1.0: heard milky. Here, milky is said of every young wine." in said


def test_every_screen_says_whose_page_it_is(run, own: Path, home: Path) -> None:
    """Result, explanation, sheet and report tell that the fix is the cellar's own and why; JSON names the layers."""
    told = f"From your own rules, garage 0.1.0, in place of the page below: {REASON}"
    for words in (("judge", CASE), ("why", CASE, "bentonite"), ("sheet", CASE, "steps", "bentonite")):
        with_it, without = run("--own", str(own), *words), run(*words)
        assert told in flat(with_it.stdout), words
        assert "your own rules" not in flat(without.stdout)
    page = home / "case.html"
    assert run("--own", str(own), "report", CASE, "--to", str(page)).returncode == 0
    assert told in flat(page.read_text(encoding="utf-8"))
    judged = json.loads(run("--own", str(own), "judge", CASE, "--json").stdout)
    assert re.fullmatch(r"small_cellar \d+\.\d+\.\d+ \+ garage 0\.1\.0", judged["rule_base"])


def test_an_own_folder_is_kept_in_the_settings(run, own: Path, home: Path) -> None:
    """Once kept it counts for every case begun, until it is taken off; other rules named do without it."""
    assert run("settings", "--own", str(own)).returncode == 0
    # A long path is broken over lines.
    assert f"ownrulesontop:{own}" in flat(run("settings").stdout).replace(" ", "")
    assert run(lines=["enough", "stop"]).returncode in (0, 3)
    (case,) = (home / "cases").glob("*.yaml")
    assert "+ garage 0.1.0" in case.read_text(encoding="utf-8")
    assert "garage" not in run("--rules", str(ROOT / "rules"), "check").stdout
    assert run("settings", "--no-own").returncode == 0
    assert "garage" not in run("check").stdout


def test_a_folder_that_would_not_stand_is_not_kept(run, own: Path) -> None:
    """The settings stay as they were, and the mistake is told."""
    (own / "clay.yaml").write_text("taken_out: bentonite\nkind: fix\nbecause: No clay here.\n")
    done = run("settings", "--own", str(own))
    assert done.returncode == 1 and "It was taken out at" in done.stderr
    assert "own rules on top" not in run("settings").stdout
    assert run("settings", "--own", str(own), "--no-own").returncode == 2


def test_a_kept_folder_that_is_gone_is_told_with_the_way_out(run, own: Path) -> None:
    """Nothing is judged with other rules than the person thinks, and one command mends it."""
    assert run("settings", "--own", str(own)).returncode == 0
    own.rename(own.with_name("elsewhere"))
    done = run("judge", CASE)
    assert done.returncode == 1 and "kept in your settings" in done.stderr
    assert run("settings", "--no-own").returncode == 0
    assert run("judge", CASE).returncode in (0, 3)
