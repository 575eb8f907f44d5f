"""What a change of the rules changes for people is found, and what guarded them is told first."""

from __future__ import annotations

import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from diagnose.review.impact import compare
from diagnose.review.simulated import simulated
from diagnose.review.trying import Given, case_files, judge_given, try_case
from diagnose.shipped import shipped_folder

RULES, CASES = shipped_folder("rules"), shipped_folder("cases")


@pytest.fixture(scope="module")
def cellar() -> Cellar:
    """The shipped rules."""
    return Cellar(read_rule_base([RULES]))


def given(cellar: Cellar, case: str) -> Given:
    """A worked case as its facts."""
    from diagnose.casebook.store import load_case

    file = next(file for file in case_files([CASES]) if file.stem == case)
    page, state = load_case(file, cellar.base)
    return Given(page.case, page.topics, state.facts())


def changed_rules(at: Path, page: str, old: str, new: str) -> Path:
    """The shipped rules with one text exchanged on one page."""
    rules = at / "rules"
    shutil.copytree(RULES, rules)
    file = rules / page
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    return rules


def test_the_same_rules_change_nothing(cellar: Cellar) -> None:
    """A case compared with itself is nowhere otherwise."""
    outcome = judge_given(cellar, given(cellar, "copper_in_the_window"))
    assert compare(cellar.base, outcome, outcome) == ()


def test_what_guarded_and_is_gone_is_told_first(cellar: Cellar) -> None:
    """A lost caution, a fix set free, a test no longer withheld and a gate passed are each told, before all else."""
    was = judge_given(cellar, given(cellar, "copper_in_the_window"))
    person = next(name for name in sorted(was.cautions) if cellar.base.cautions[name].harms == "person")
    freed = min(was.forbidden)
    now = replace(
        was,
        cautions=was.cautions - {person},
        forbidden=was.forbidden - {freed},
        offered=was.offered | {freed},
        steps=(*was.steps, freed),
        passed=was.passed | {"a_gate"},
        gates={**was.gates, "a_gate": "passed"},
    )
    changes = compare(cellar.base, replace(was, withheld=was.withheld | {"test.opening"}), now)
    safety = [change for change in changes if change.safety]
    assert list(changes[: len(safety)]) == safety
    assert {change.kind for change in safety} == {"caution", "fix", "withheld", "gate"}
    assert any(person in change.says for change in safety) and any(freed in change.says for change in safety)


def test_a_caution_about_the_wine_alone_is_no_matter_of_safety(cellar: Cellar) -> None:
    """What can only spoil the wine is told, but not as a danger."""
    was = judge_given(cellar, given(cellar, "copper_in_the_window"))
    wine = next(name for name, page in cellar.base.cautions.items() if page.harms == "wine")
    changes = compare(cellar.base, replace(was, cautions=was.cautions | {wine}), was)
    assert not any(change.safety for change in changes if wine in change.says)


def test_cases_made_from_worked_ones_are_always_the_same_and_differ_in_little(cellar: Cellar) -> None:
    """Half of the answers are among the answers; one changed answer is another one of its question."""
    worked = given(cellar, "copper_in_the_window")
    made = list(simulated(cellar.base, worked, 5))
    assert made == list(simulated(cellar.base, worked, 5))
    assert len(made) == 10
    for case in made:
        extra = set(case.facts) - set(worked.facts)
        assert len(extra) == (0 if "half" in case.name else 1)
        for fact in extra:
            assert fact.value in cellar.base.observations[fact.name].answers


def test_facts_that_the_other_rules_do_not_know_are_left_out(cellar: Cellar) -> None:
    """Rules of last year lack a question of today; the case is judged without it."""
    worked = given(cellar, "copper_in_the_window")
    more = replace(
        worked, topics=(*worked.topics, "moon"), facts=(*worked.facts, Fact("phase_of_moon", "full"))
    )
    assert judge_given(cellar, more) == judge_given(cellar, worked)


def run(*arguments: str, at: Path) -> subprocess.CompletedProcess[str]:
    """The real command."""
    command = [sys.executable, "-m", "diagnose", *arguments]
    return subprocess.run(command, capture_output=True, text=True, timeout=300, cwd=at, check=False)


def test_a_prohibition_taken_out_ends_with_the_status_of_danger(tmp_path: Path) -> None:
    """Bentonite once offered where it was forbidden: the command says so first, and its exit status tells a script."""
    page = (RULES / "haze/fixes/bentonite.yaml").read_text(encoding="utf-8")
    begins = page.index("  - when:\n      cause.copper_haze: {one_of: [likely")
    ends = page.index("    source:", begins)
    ends = page.index("\n", ends) + 1
    rules = changed_rules(tmp_path, "haze/fixes/bentonite.yaml", page[begins:ends], "")
    case = next(file for file in case_files([CASES]) if file.stem == "copper_in_the_window")
    done = run(
        "--rules", str(rules), "impact", str(RULES), "--on", str(case), "--simulated", "0", at=tmp_path
    )
    assert done.returncode == 5, done.stdout + done.stderr
    assert "bentonite was forbidden and is offered" in done.stdout
    back = run("impact", str(rules), str(RULES), "--on", str(case), "--simulated", "0", at=tmp_path)
    assert back.returncode == 4 and "!" not in back.stdout
    same = run("impact", str(RULES), str(RULES), "--on", str(case), "--questions", at=tmp_path)
    assert same.returncode == 0 and "Nothing changes" in same.stdout
    asked = same.stdout.partition("worked cases: ")[2].split()
    assert asked[0] == asked[2] and int(asked[0]) > 3


def test_rules_of_a_commit_are_compared(tmp_path: Path) -> None:
    """The rules as they stood in a commit are BEFORE; a word that is no commit is named as such."""
    rules = changed_rules(tmp_path, "base.yaml", "version:", "version:")
    git = ["git", "-c", "user.name=a", "-c", "user.email=a@b.invalid"]
    for words in (["init", "-q"], ["add", "."], ["commit", "-qm", "before"]):
        subprocess.run([*git, *words], cwd=tmp_path, check=True, capture_output=True)
    file = rules / "cautions.yaml"
    file.write_text(file.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    case = next(file for file in case_files([CASES]) if file.stem == "copper_in_the_window")
    done = run("--rules", "rules", "impact", "HEAD", "--on", str(case), "--simulated", "0", at=tmp_path)
    assert done.returncode == 0 and "Nothing changes" in done.stdout, done.stderr
    wrong = run("--rules", "rules", "impact", "no_such_branch", at=tmp_path)
    assert wrong.returncode == 1 and "'no_such_branch' is no folder, and no commit" in wrong.stderr


def test_a_folder_of_cases_taken_for_rules_is_told_once_with_the_mend(tmp_path: Path) -> None:
    """Whoever names the cases where the rules of after belong reads what they are, and no process breaks."""
    done = run("impact", str(RULES), str(CASES / "cold"), at=tmp_path)
    assert done.returncode == 1 and "This is a worked case and no rule" in done.stderr
    assert "Traceback" not in done.stderr and "BrokenProcessPool" not in done.stderr


def test_a_case_that_misses_is_shown_with_both_sides(tmp_path: Path, cellar: Cellar) -> None:
    """What was expected stands behind a plus, what was found behind a minus, and the exit status says it."""
    file = next(file for file in case_files([CASES]) if file.stem == "copper_in_the_window")
    text = file.read_text(encoding="utf-8").replace("first_cause: copper_haze", "first_cause: protein_haze")
    wrong = tmp_path / "copper_in_the_window.yaml"
    wrong.write_text(text, encoding="utf-8")
    assert not try_case(cellar, wrong).as_expected and try_case(cellar, file).as_expected
    done = run("try", str(wrong), str(file), at=tmp_path)
    assert done.returncode == 1
    assert "+ protein_haze" in done.stdout and "- copper_haze" in done.stdout
    assert "1 of 2 cases come out as expected." in done.stdout


def test_shared_out_over_processes_the_cases_come_to_the_same(tmp_path: Path) -> None:
    """Two processes try the haze cases as one does; coverage counts each rule once and lists the silent ones."""
    one = run("try", str(CASES / "haze"), str(CASES / "stuck"), "--jobs", "1", "--coverage", at=tmp_path)
    two = run("try", str(CASES / "haze"), str(CASES / "stuck"), "--jobs", "2", "--coverage", at=tmp_path)
    assert one.returncode == two.returncode == 0 and one.stdout == two.stdout
    told = [line.split() for line in one.stdout.splitlines() if " of " in line and line.strip().endswith("%")]
    silent = one.stdout.count("\n   - ")
    assert sum(int(line[3]) - int(line[1]) for line in told) == silent > 0
