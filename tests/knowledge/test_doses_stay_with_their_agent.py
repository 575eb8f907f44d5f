"""What the trial of one fix finds must not be given of the agent of another."""

from __future__ import annotations

from pathlib import Path

import pytest
from rule_folders import assert_well_said, folder_with, problems_of

DOSES = """\
- {observe: clay_dose, ask: Which dose?, short: Clay, kind: number, quantity: dose, plausible: [0.01, 5],
   why: It is wanted., how: Do the trial., effort: glance, group: treatment}
- {observe: sol_dose, ask: Which dose?, short: Sol, kind: number, quantity: dose, plausible: [0.01, 5],
   why: It is wanted., how: Do the trial., effort: glance, group: treatment}
"""

FIX = """\
- fix: {fix}
  name: Fine with {fix}
  does: It fines.
  can_be_undone: no
  effort: slight
  cost: none
  wine_loss: slight
  flavour_harm: slight
  trial:
    kind: ladder
    says: A row of jars.
    ladder: [0.1, 0.2]
    agent:
      name: {fix}
      stock_is: slurry
      stock_percent: 5
      stock_between: [1, 10]
      too_much: It costs flavour.
      dose_kept_as: {kept}
    judge_by: It is clear.
    source: invented
  quantities:
    - name: grams
      says: grams
      quantity: mass
      compute: {{calculator: bentonite_grams, with: {{dose_g_per_l: {used}, volume_l: 20}}}}
  steps: ["Weigh {{grams}}."]
  cautions: []
  check: {{after: a week, do: Look., good: It is clear., if_not: Test again.}}
  if_it_fails: Look for another cause.
  source: invented
"""


def pages(kept: str = "sol_dose", used: str = "sol_dose") -> dict[str, str]:
    """A fix with clay, and one with sol that keeps and uses these doses."""
    clay = FIX.format(fix="clay", kept="clay_dose", used="clay_dose")
    return {"fining.yaml": DOSES + clay + FIX.format(fix="sol", kept=kept, used=used)}


def test_each_agent_with_a_dose_of_its_own_is_sound(tmp_path: Path) -> None:
    """Two ladders beside each other load, each with its own dose."""
    assert problems_of(folder_with(tmp_path, pages())) == ()


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        (
            {"used": "clay_dose"},
            "'clay_dose' is what the trial of 'clay' finds; it says nothing of this agent.",
        ),
        (
            {"kept": "clay_dose"},
            "'clay_dose' is what the trial of 'clay' finds; it says nothing of this agent.",
        ),
        ({"kept": "sol_doze"}, "'sol_doze' is not a question with the quantity `dose`."),
    ],
)
def test_the_dose_of_another_agent_is_refused(tmp_path: Path, changed: dict[str, str], told: str) -> None:
    """A page that would weigh out sol by the dose of clay does not load."""
    problems = problems_of(folder_with(tmp_path, pages(**changed)))
    for problem in problems:
        assert_well_said(problem)
    assert told in [problem.what for problem in problems]


SHARE = """\
- {observe: share, ask: Which share?, short: Share, kind: number, quantity: percent, plausible: [1, 99],
   why: It is wanted., how: Do the trial., effort: glance, group: treatment}
- {observe: grams_found, ask: Which dose?, short: Dose, kind: number, quantity: dose, plausible: [1, 99],
   why: It is wanted., how: Do the trial., effort: glance, group: treatment}
- fix: blend
  name: Blend it
  does: It blends.
  can_be_undone: no
  effort: slight
  cost: none
  wine_loss: slight
  flavour_harm: slight
  trial:
    kind: ladder
    says: A row of jars.
    ladder: [10, 20]
    agent:
      name: other wine
      dose_in: share
      too_much: It covers the wine.
      dose_kept_as: share
    criteria:
      - {criterion: clear, kind: yes_no, ask: Clear?, how: Look., passes: yes, passes_as: it is clear,
         because: Two clear wines can cloud., source: invented}
    judge_by: It is clear.
    source: invented
  steps: [Blend.]
  cautions: []
  check: {after: a week, do: Look., good: It is clear., if_not: Test again.}
  if_it_fails: Look for another cause.
  source: invented
"""


def test_a_ladder_of_shares_without_a_stock_is_sound(tmp_path: Path) -> None:
    """Another wine is poured in as it is."""
    assert problems_of(folder_with(tmp_path, {"blend.yaml": SHARE})) == ()


@pytest.mark.parametrize(
    ("written", "instead", "told"),
    [
        ("[10, 20]", "[10, 100]", "100 % cannot be a share of another wine."),
        ("[10, 20]", "[0, 10]", "0 % cannot be a share of another wine."),
        (
            "      too_much",
            "      stock_is: syrup\n      too_much",
            "a share of another wine has no `stock_is`.",
        ),
        (
            "      too_much",
            "      strength_kept_as: grams_found\n      too_much",
            "a share of another wine has no `strength_kept_as`.",
        ),
        (
            "    judge_by",
            "    stock: Made with water.\n    judge_by",
            "a share of another wine has no `stock`.",
        ),
        ("      dose_in: share\n", "", "an agent without `stock_is`."),
        (
            "dose_kept_as: share",
            "dose_kept_as: grams_found",
            "'grams_found' is not a question with the quantity `percent`.",
        ),
    ],
)
def test_a_share_is_held_to_what_a_blend_can_be(
    tmp_path: Path, written: str, instead: str, told: str
) -> None:
    """No stock, no share of nothing or all, and a question that holds a percentage: held when the rules are read."""
    problems = problems_of(folder_with(tmp_path, {"blend.yaml": SHARE.replace(written, instead, 1)}))
    for problem in problems:
        assert_well_said(problem)
    assert told in [problem.what for problem in problems]


def test_a_ladder_of_shares_says_what_is_read(tmp_path: Path) -> None:
    """A blend is not judged as a fining is: its page names the criteria."""
    start, end = SHARE.index("    criteria:"), SHARE.index("    judge_by")
    problems = problems_of(folder_with(tmp_path, {"blend.yaml": SHARE[:start] + SHARE[end:]}))
    assert [problem.what for problem in problems] == ["a ladder of shares without `criteria`."]


@pytest.mark.parametrize(
    ("written", "instead", "told"),
    [
        ("    ladder: [0.1, 0.2]\n", "", "a ladder of doses without `ladder`."),
        ("kind: ladder", "kind: yes_no", "only a ladder of doses has a `ladder`."),
        ("    judge_by", "    heat_test: boiling\n    judge_by", "'boiling' is not a known test."),
        ("      dose_kept_as", "      cautions: fire\n      dose_kept_as", "'fire' is not a known caution."),
    ],
)
def test_a_ladder_says_all_that_the_bench_needs(
    tmp_path: Path, written: str, instead: str, told: str
) -> None:
    """A ladder without doses or agent, and names that no page has, are refused when the rules are read."""
    text = pages()["fining.yaml"].replace(written, instead, 1)
    problems = problems_of(folder_with(tmp_path, {"fining.yaml": text}))
    for problem in problems:
        assert_well_said(problem)
    assert told in [problem.what for problem in problems]
