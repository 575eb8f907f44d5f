"""Whatever comes in: one clear sentence, a status that is not zero, nothing lost, never a traceback."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

OPENING = ["white", "grapes", "vessel", "1"]


def sound(done: subprocess.CompletedProcess[str], status: int) -> str:
    """The complaint of a run that failed as it should."""
    assert done.returncode == status, done.stdout[-500:] + done.stderr
    assert "Traceback" not in done.stderr and "Traceback" not in done.stdout
    assert done.stderr.strip(), "a failure must say something"
    return done.stderr


def test_broken_case_file_names_the_place(run, tmp_path: Path) -> None:
    """A case file with a wrong answer is refused with file, line and what would be right."""
    case = tmp_path / "case.yaml"
    case.write_text("case: mine\ntitle: Mine\nfacts:\n  wine_colour: purple\n  ph: 35\n")
    said = sound(run("judge", str(case)), 1)
    assert f"{case}:4:" in said and "purple" in said and "white" in said
    assert f"{case}:5:" in said and "35" in said, "all mistakes are told at once"


def test_case_file_that_is_not_yaml(run, tmp_path: Path) -> None:
    """A file that is no YAML is refused with the place of the slip."""
    case = tmp_path / "case.yaml"
    case.write_text("case: mine\n  title: [unfinished\n")
    assert f"{case}:2:" in sound(run("judge", str(case)), 1)


def test_missing_case_file(run, tmp_path: Path) -> None:
    """A file that is not there is said so."""
    assert "no such file" in sound(run("judge", str(tmp_path / "nothing.yaml")), 1)


def test_missing_rule_folder(run, tmp_path: Path) -> None:
    """A rule folder that is not there is said so, with the mend."""
    assert "--rules" in sound(run("--rules", str(tmp_path / "nothing"), "check"), 1)


def test_rule_folder_with_a_mistake(run, tmp_path: Path) -> None:
    """A rule file with a typo stops the start with its place."""
    (tmp_path / "a.yaml").write_text("cuase: protein_haze\n")
    said = sound(run("--rules", str(tmp_path), "check"), 1)
    assert "a.yaml:1:1" in said and "'cause'" in said


def test_cases_cannot_be_written(run, home: Path) -> None:
    """Where a case cannot be kept, the consultation does not begin."""
    blocked = home / "a_file"
    blocked.write_text("not a folder")
    said = sound(run(lines=OPENING, environment={"DIAGNOSE_CASES": str(blocked / "cases")}), 1)
    assert "cannot be kept" in said


def test_full_disk_keeps_what_was_acknowledged(run, home: Path) -> None:
    """When the disk is full in the middle, the answers before are whole on disk and the next is not half there."""

    def small_disk() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (700, 700))

    done = run(
        lines=[*OPENING, "none_of_these", "none_of_these", "2", "1", "skip", "skip", "skip"],
        preexec_fn=small_disk,
        # Python would keep its compiled modules cut short as well, and no later start would go.
        environment={"PYTHONDONTWRITEBYTECODE": "1"},
    )
    assert "could not be kept" in sound(done, 1)
    (kept,) = (home / "cases").glob("*.yaml")
    assert kept.read_text().endswith("}\n"), "no half line is left"
    again = run("continue")
    assert "half written" not in again.stdout and again.returncode in (0, 3)


@pytest.mark.parametrize("junk", [b"\xff\xfe\x00\n", bytes(range(256)) + b"\n"])
def test_input_that_is_not_text(run, junk: bytes) -> None:
    """Bytes that are not UTF-8 are refused or asked again; they never end in a traceback."""
    done = run(lines=b"1\n" + junk + b"1\n")
    assert done.returncode in (1, 3)
    assert "Traceback" not in done.stderr + done.stdout


def test_ten_megabytes_of_junk_as_an_answer(run) -> None:
    """A huge line is one wrong answer, and the consultation goes on."""
    done = run(lines=b"x" * 10_000_000 + b"\nwhite\n")
    assert done.returncode == 3
    assert "not one of the answers" in done.stdout and "Kept: White" in done.stdout
    assert len(done.stdout) < 100_000


def test_ten_megabytes_of_junk_as_a_case(run, tmp_path: Path) -> None:
    """A huge file is refused unread."""
    case = tmp_path / "case.yaml"
    case.write_bytes(os.urandom(10_000_000))
    assert "larger than" in sound(run("judge", str(case)), 1)


def test_no_escape_codes_reach_the_screen(run, tmp_path: Path) -> None:
    """Control signs in a file are not passed on to the terminal."""
    case = tmp_path / "case.yaml"
    case.write_bytes(b'case: mine\ntitle: "a \\x1b[31m red title"\nfacts: {wine_colour: white}\n')
    done = run("judge", str(case))
    assert "\x1b" not in done.stdout + done.stderr


def test_reader_that_goes_away(environment: dict[str, str]) -> None:
    """When the reader of a pipe leaves, the program ends without a traceback."""
    piped = f"{sys.executable} -m diagnose demo 2>{{err}} | head -1"
    err = Path(environment["DIAGNOSE_SETTINGS"]).with_name("err")
    subprocess.run(piped.format(err=err), shell=True, env=environment, timeout=60, stdout=subprocess.DEVNULL)
    assert "Traceback" not in err.read_text()


def test_misused_command(run) -> None:
    """An option that does not exist is status 2, with a hint."""
    assert "No such option" in sound(run("--colour-of-the-sky"), 2)


def test_a_condition_too_tangled_names_its_page(run, tmp_path: Path) -> None:
    """A condition with more alternatives than anybody means is refused with file and line, not with a traceback."""
    choices = "[{gas: none}, {gas: a_little}, {gas: lively}]"
    parts = "\n".join(f"      - {{any: {choices}}}" for _ in range(6))
    (own := tmp_path / "tangled").mkdir()
    (own / "tangled.yaml").write_text(
        "- rule: tangled\n  when:\n    all:\n" + parts + "\n  warn: glass_pressure\n"
        "  because: It is only here to be refused.\n  source: judgement\n"
    )
    rules = Path(__file__).parents[2] / "rules"
    said = sound(run("--rules", str(rules), "--rules", str(own), "check"), 1)
    assert "tangled.yaml:1:" in said and "tangled" in said and "state" in said


BENCH = '{"sample_ml": 100, "weighed": false, "strength": 50, "smallest": 0.1, "step": 0.01}'


@pytest.mark.parametrize(
    ("event", "told"),
    [
        ('"did": "put_off", "about": "moon_phase"', "moon_phase"),
        ('"did": "skipped", "about": "moon_phase"', "moon_phase"),
        ('"did": "trial_planned", "data": {"fix": "bentonite", "doses": [0.1]}', "bench"),
        ('"did": "trial_planned", "data": {"fix": "bentonite", "bench": ' + BENCH + "}", "doses"),
        (
            '"did": "trial_planned", "data": {"fix": "moonlight", "doses": [0.1], "bench": ' + BENCH + "}",
            "moonlight",
        ),
        (
            '"did": "trial_planned", "data": {"fix": "bentonite", "doses": [0.1], "bench": '
            + BENCH.replace("50", '"much"')
            + "}",
            "much",
        ),
        ('"did": "trial_planned"', "fix"),
    ],
)
def test_an_event_edited_by_hand_is_refused_at_its_line(run, home: Path, event: str, told: str) -> None:
    """A question the rules do not know, or a trial that is not whole, is told with its place before any question."""
    (home / "cases").mkdir()
    kept = home / "cases" / "mine.yaml"
    text = 'case: mine\ntitle: Mine\nevents:\n- {"at": "2026-03-14", ' + event + "}\n"
    kept.write_text(text)
    said = sound(run("continue", "mine", lines=["trial bentonite"]), 1)
    assert f"{kept}:4:" in said and told in said
    assert kept.read_text() == text, "a file that is refused is left as it was"


def test_a_decimal_comma_is_kept_as_a_point(run) -> None:
    """An own figure of 1,5 is 1.5; of 1,500 nobody can say, and the sentence names both."""
    done = run("settings", "--limit", "us_water_share=1,5")
    assert done.returncode == 0 and "your own figure: 1.5" in " ".join(done.stdout.split())
    refused = run("settings", "--limit", "us_water_share=1,500")
    assert refused.returncode == 2 and "may mean 1500 or 1.500" in " ".join(refused.stderr.split())
