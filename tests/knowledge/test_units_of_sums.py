"""Numbers are handed to calculators in the right unit; the messages for wrong ones are kept in `broken/`."""

from __future__ import annotations

from pathlib import Path

import pytest
from rule_folders import folder_with, problems_of


def question(name: str, quantity: str) -> str:
    """A question for a number of one quantity."""
    return (
        f"- {{observe: {name}, ask: How much?, short: {name}, kind: number, quantity: {quantity},"
        " plausible: [0, 100], why: Invented., how: Measure it., effort: glance, group: meter}\n"
    )


def derived(quantity: str, calculator: str, given: str) -> str:
    """A derived number."""
    compute = f"compute: {{calculator: {calculator}, with: {{{given}}}}}"
    return f"- {{derive: made, name: Made, quantity: {quantity}, {compute}, because: Invented., source: invented}}\n"


QUESTIONS = "".join(
    question(name, quantity)
    for name, quantity in (
        ("vessel", "volume"),
        ("other_vessel", "volume"),
        ("sugar", "dose"),
        ("strength", "alcohol"),
        ("share", "percent"),
        ("protein", "trace"),
        ("ratio", "count"),
        ("acid", "trace"),
    )
)


@pytest.mark.parametrize(
    ("quantity", "calculator", "given"),
    [
        ("mass", "bentonite_grams", "dose_g_per_l: sugar, volume_l: vessel"),
        ("volume", "lees_loss_l", "volume_l: vessel, lees_percent: share"),
        ("trace", "clay_for_protein", "protein_mg_per_l: protein, clay_per_protein: ratio"),
        ("alcohol", "diluted", "value: strength, volume_l: vessel, added_l: other_vessel"),
        ("dose", "diluted", "value: sugar, volume_l: vessel, added_l: 1"),
        ("dose", "diluted", "value: 3, volume_l: vessel, added_l: 1"),
        ("trace", "diluted", "value: 3, volume_l: vessel, added_l: 1"),
        ("percent", "blend_share_percent", "value_a: sugar, value_b: 2, target: 5"),
    ],
)
def test_numbers_in_the_right_unit_pass(quantity: str, calculator: str, given: str, tmp_path: Path) -> None:
    """What fits is not complained of: plain numbers have the unit that is wanted, `any unit` takes any."""
    pages = {"sum.yaml": QUESTIONS + derived(quantity, calculator, given)}
    assert problems_of(folder_with(tmp_path, pages)) == ()


@pytest.mark.parametrize(
    ("quantity", "calculator", "given", "said"),
    [
        ("mass", "bentonite_grams", "dose_g_per_l: protein, volume_l: vessel", "'protein' is in mg/L"),
        ("volume", "lees_loss_l", "volume_l: vessel, lees_percent: strength", "'strength' is in % vol"),
        ("dose", "clay_for_protein", "protein_mg_per_l: protein", "gives mg/L"),
        ("dose", "clay_for_protein", "protein_mg_per_l: 100", "gives mg/L"),
        ("dose", "diluted", "value: strength, volume_l: vessel, added_l: 1", "gives % vol"),
        ("percent", "blend_share_percent", "value_a: sugar, value_b: acid, target: 5", "'acid' is in mg/L"),
        ("trace", "clay_for_protein", "protein_mg_per_l: 9, clay_per_protein: share", "in plain numbers"),
        ("dose", "dose_to_lb_per_1000_gal", "dose_g_per_l: sugar", "gives lb/1000 US gal"),
    ],
)
def test_numbers_in_a_wrong_unit_are_told(
    quantity: str, calculator: str, given: str, said: str, tmp_path: Path
) -> None:
    """A dose a thousand times too large never comes from mg/L taken for g/L."""
    pages = {"sum.yaml": QUESTIONS + derived(quantity, calculator, given)}
    (problem,) = problems_of(folder_with(tmp_path, pages))
    assert said in problem.what


def test_an_amount_of_a_fix_may_come_in_another_unit_of_its_quantity(tmp_path: Path) -> None:
    """A slurry in mL fills a volume kept in litres: the amounts of a fix are converted before they are shown."""
    text = (Path(__file__).parent / "broken" / "amount_in_another_unit.yaml").read_text(encoding="utf-8")
    mended = text.replace("quantity: mass", "quantity: volume")
    assert problems_of(folder_with(tmp_path, {"slurry.yaml": mended})) == ()
