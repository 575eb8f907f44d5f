"""Sums at the command line, through the real command."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from diagnose.cli.main import main
from diagnose.present.console import PIPED_WIDTH
from diagnose.workings.machine import CalculationOut


def run(*words: str, env: dict[str, str] | None = None) -> Result:
    """The command with these words."""
    return CliRunner().invoke(
        main, ["calculate", *words], env={"DIAGNOSE_SETTINGS": "/nowhere/else", **(env or {})}
    )


def test_every_sum_is_listed_by_subject() -> None:
    """Without a name all sums are shown; with a subject, those of the subject."""
    assert "bentonite_grams: Dry clay" in run().output
    only = run("dilution").output
    assert "blend_volume_l" in only and "bentonite_grams" not in only


def test_a_name_alone_says_what_it_needs() -> None:
    """Inputs with their units, what may be left out, and the source."""
    shown = run("lees_loss_l")
    assert shown.exit_code == 0
    assert "volume_l (L)" in shown.output and "left out" in shown.output


def test_units_as_people_write_them() -> None:
    """Five gallons at 50 g/hL take 9.46 g of clay: 5 x 3.785411784 x 0.5."""
    shown = run("bentonite_grams", "dose=50 g/hL", "volume=5 gal")
    assert shown.exit_code == 0, shown.output
    assert "9.464 g" in shown.output


def test_a_spread_gives_a_range_and_the_limit_its_verdict() -> None:
    """20 L ± 1 at 0.5 g/L is 9.5 to 10.5 g; 10 g lies inside, 11 g does not."""
    shown = run("bentonite_grams", "dose=0.5", "volume=20 ± 1", "--limit", "10")
    assert "between 9.50 and 10.50 g" in shown.output
    assert "Cannot be told" in shown.output
    assert "Below 11 g" in run("bentonite_grams", "dose=0.5", "volume=20 ± 1", "--limit", "11").output


def test_measured_gives_the_spread_of_the_usual_instrument() -> None:
    """A vessel read from its marks is known to 2 %, as the rules say."""
    out = CalculationOut.model_validate_json(
        run("bentonite_grams", "dose=0.5", "volume=100", "--measured", "--json").output
    )
    assert out.inputs[1].plus_minus == pytest.approx(2)
    assert out.inputs[1].taken == "about"


def test_json_is_what_its_schema_says() -> None:
    """The printed JSON has the documented keys and the numbers of the screen."""
    printed = json.loads(run("bentonite_grams", "dose=0.5", "volume=20", "--json").output)
    assert printed["schema_version"] == "1.0"
    assert printed["result"] == {"low": 10, "value": 10, "high": 10, "unit": "g"}


def test_an_input_that_runs_makes_a_table_and_a_plot(tmp_path: Path) -> None:
    """Each value has its line; the drawing keeps within the width; a file is drawn too."""
    file = tmp_path / "dose.svg"
    shown = run("bentonite_grams", "dose=0.5", "volume=10 to 30 by 10", "--plot", "--save", str(file))
    assert shown.exit_code == 0, shown.output
    assert ["10", "5"] in [line.split() for line in shown.output.splitlines()]
    assert "●" in shown.output
    assert max(map(len, shown.output.splitlines())) <= 88
    assert file.read_text(encoding="utf-8").startswith("<?xml")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("bentonite_gram", "dose=1"), "bentonite_grams"),
        (("bentonite_grams", "dose=1"), "Still needed: volume_l (L)"),
        (("bentonite_grams", "dose=38 F", "volume=1"), "temperature"),
        (("bentonite_grams", "dose=500", "volume=1"), "at most 20"),
        (("bentonite_grams", "dose=1 to 2", "volume=1 to 2"), "Only one input may run"),
        (("bentonite_grams", "dose=1", "volume=2", "--save", "x.svg"), "Only a table"),
        (
            ("bentonite_grams", "dose=1", "volume=2", "--limit", "pvpp"),
            "No limit on pvpp is known of the law",
        ),
        (("total_so2_after_addition", "total=100", "so2=40", "--limit", "total_so2"), "say --colour white"),
        (("bentonite_grams", "dose=1 to 2", "volume=2", "--save", "x.gif"), "neither .svg nor .png"),
        (("so2_measure_again", "added_on_day=1 to 9 by 1"), "is a worksheet. Give added_on_day one value."),
        (("so2_measure_again", "added_on_day=12", "--limit", "5"), "a worksheet has several"),
    ],
)
def test_misuse_is_said_in_one_sentence(words: tuple[str, ...], says: str) -> None:
    """Exit status 2, no traceback, and what would put it right."""
    shown = run(*words)
    assert shown.exit_code == 2
    assert says in shown.output
    assert "Traceback" not in shown.output


def test_us_units_are_taken_from_the_setting(tmp_path: Path) -> None:
    """With US units a bare volume is in gallons."""
    settings = tmp_path / "settings.yaml"
    settings.write_text("units: us\nlaw: us\n", encoding="utf-8")
    shown = run("bentonite_grams", "dose=0.5", "volume=5", env={"DIAGNOSE_SETTINGS": str(settings)})
    assert "9.464 g" in shown.output


@pytest.mark.parametrize(
    ("law", "colour", "sugar", "figure"),
    [
        # Regulation (EU) 2019/934, annex I, part B: 150, 200, 200 and 250 mg/L.
        ("eu", "red", "3", 150),
        ("eu", "white", "3", 200),
        ("eu", "red", "8", 200),
        ("eu", "rose", "5", 250),
        # OIV OENO 9/98: 150 and 200 up to 4 g/L of sugar, 300 above.
        ("oiv", "red", "4", 150),
        ("oiv", "white", "4", 200),
        ("oiv", "white", "4.1", 300),
        # Wine Australia: 250 below and 300 from 35 g/L. 27 CFR 4.22: 350 whatever the wine.
        ("au", "white", "34", 250),
        ("au", "white", "35", 300),
        ("us", "red", "1", 350),
    ],
)
def test_the_limit_on_total_so2_follows_law_colour_and_sugar(
    tmp_path: Path, law: str, colour: str, sugar: str, figure: float
) -> None:
    """The figure the law prints for this wine is the one that the total is held against."""
    settings = tmp_path / "settings.yaml"
    settings.write_text(f"law: {law}\n", encoding="utf-8")
    words = ("total_so2_after_addition", "total=100", "so2=30", "--limit", "total_so2", "--json")
    shown = run(*words, "--colour", colour, "--sugar", sugar, env={"DIAGNOSE_SETTINGS": str(settings)})
    assert json.loads(shown.output)["against"]["figure"] == figure


def test_a_person_of_us_units_reads_them(tmp_path: Path) -> None:
    """Inches go in and gallons come out; a table of temperatures stays in °F."""
    settings = tmp_path / "settings.yaml"
    settings.write_text("units: us\n", encoding="utf-8")
    env = {"DIAGNOSE_SETTINGS": str(settings)}
    # 3.14159 / 4 x 20 x 20 x 30 cubic inches over 231 to the gallon.
    assert "Volume: 40.8 gal" in run("cylinder_volume_l", "diameter=20", "height=30", env=env).output
    table = run("corrected_gravity", "reading=1.050", "temperature=50 to 70 by 10", env=env).output
    assert [line.split()[0] for line in table.splitlines()[-3:]] == ["50", "60", "70"]


READINGS = "readings=2026-10-01 1.090, 2026-10-03 1.070, 2026-10-05 1.069"


def test_a_worksheet_is_a_table_where_its_lines_fit() -> None:
    """Figures stand one below the other, with their units above them; a yes or no is a word."""
    lines = run("gravity_log", READINGS).output.splitlines()
    table = lines[lines.index("Each reading against the one before") + 1 :]
    assert table[1].split() == ["day", "gravity", "points", "fall", "spread"]
    assert table[2].split()[:3] == ["days", "SG", "SG"]
    # 20 points in two days; the noise of a difference of two readings to 0.001 is 1.41 points (JCGM 100, 5.1.2).
    assert table[4].split() == ["2", "1.07", "20", "10", "0.70711", "yes", "falls"]
    assert table[5].split()[:6] == ["4", "1.069", "1", "0.5", "0.70711", "no"]


def test_a_worksheet_that_is_too_wide_is_told_line_by_line() -> None:
    """Where columns would not fit each line is a block of its own, with every unit, and nothing is cut off."""
    shown = run("so2_measure_again", "added_on_day=12").output
    assert all(len(line) <= PIPED_WIDTH for line in shown.splitlines())
    block = shown[shown.index("\n2\n") : shown.index("\n3\n")]
    assert "- day: 19 days" in block and "- measure: free" in block and "- source: common practice" in block


def test_a_worksheet_of_something_measured_tells_each_range() -> None:
    """6 ± 0.5 g/L as tartaric is 3.59 to 4.25 as sulfuric acid (98.08 / 150.09, worked by hand)."""
    shown = run("ta_in_all_units", "ta=6 ± 0.5").output
    assert "as sulfuric: 3.92 g/L, between 3.59 and 4.25" in shown


def test_a_worksheet_of_one_answer_is_a_list() -> None:
    """One answer needs no numbers before it and no columns."""
    shown = run("bottle_verdict", "wine=12", "alcohol=12", "sugar=0").output
    assert "verdict: " in shown and "\n1\n" not in shown
