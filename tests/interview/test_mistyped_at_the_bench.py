"""What is mistyped while a trial is planned or read: it is said what was read, and the question is asked again."""

from __future__ import annotations

from pathlib import Path

import pytest
from at_the_table import after_the_result

CLAY = "trial bentonite"
SILICA = [*("trial counter_fine", "1", "10", "100 mL", "0.1", "0.01", "0.02 0.04 0.08", "1", "yes", "yes")]
ACID = [
    *("trial add_acid_for_so2", "1", "100", "100 mL", "0.1", "0.01", "0.5 1", "1", "yes", "yes"),
]


@pytest.mark.parametrize(
    ("before", "typed", "says"),
    [
        ([], "with a spoon", "'with a spoon' is not one of the answers; type 1, 2."),
        (["1"], "thick", "'thick' holds no number for a dose."),
        (["1"], "3000", "3000 g/L cannot be right for a slurry; expected"),
        (["2"], "90 %", "90 % cannot be right here; expected"),
        (["1", ""], "2 gal", "7570.82 mL is no jar for a trial; expected 10 to 5000 mL. 100 mL is handy."),
        (["1", ""], "a glass", "'a glass' holds no number for a volume."),
        (["1", "", ""], "500", "500 mL cannot be right here; expected 0.001 to 100 mL."),
        (["1", "", "", "", ""], "g/L", "Type doses in g/L with spaces between, such as 0.1 0.2 0.4."),
        (["1", "", "", "", ""], "0,1,0,2", "can be read in two ways; put spaces between the doses."),
        (["1", "", "", "", "", ""], "a few", "'a few' is not a whole number from 1 to"),
    ],
)
def test_a_plan_mistyped_is_asked_again(tmp_path: Path, before: list[str], typed: str, says: str) -> None:
    """Each slip is named with what could be right, nothing is planned of it, and the usual answer still serves."""
    after = [""] * (7 - len(before))
    screen, _ = after_the_result(tmp_path, CLAY, *before, typed, *after, "yes", "later", "stop")
    assert says in screen
    assert screen.count("The plan is kept.") == 1


@pytest.mark.parametrize(
    ("plan", "read", "says"),
    [
        (SILICA, ["1", "4 3 1"], "3 values for 4 jars; type 4, the control first, a dash if not read."),
        (SILICA, ["1", "4 3 1 first"], "'first' is not a rank; ranks are 1, 2, 3 and so on."),
        (SILICA, ["1", "4 3 1 0"], "'0' is not a rank"),
        (SILICA, ["2", "9 8 -1 1"], "-1 NTU cannot be right; expected 0 to 4000."),
        (SILICA, ["1", "4 3 1 1", "9"], "'9' is not a whole number from 0 to 4."),
        (ACID, ["3.9 3.7 3.5", "3.6"], "'3.6' is not two numbers; type them like 3 to 3.5."),
        (ACID, ["3.9 3.7 3.5", "3.6 to 3"], "3.6 is more than 3; type the lower one first."),
        (
            ACID,
            ["3.9 3.7 3.5", "", "- y maybe"],
            "'maybe' is neither y nor n; type one of them for each jar.",
        ),
    ],
)
def test_a_reading_mistyped_is_asked_again(
    tmp_path: Path, plan: list[str], read: list[str], says: str
) -> None:
    """A row too short, a word for a rank, a turbidity below nothing: named, and no reading is kept of it."""
    screen, answers = after_the_result(tmp_path, *plan, *read, "stop", "stop")
    assert says in screen and "Left as it was." in screen
    assert answers == {}
    assert "trial_read" not in next(tmp_path.rglob("*.yaml")).read_text(encoding="utf-8")
