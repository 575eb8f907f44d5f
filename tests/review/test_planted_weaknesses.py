"""A mentor is told of each weakness, with its line; and not of rules that are sound."""

from __future__ import annotations

from pathlib import Path

import pytest
from diagnose.knowledge.limits import under_law
from diagnose.knowledge.read import read_rule_base
from diagnose.review.survey import Met
from diagnose.review.weakness import KINDS, Weakness
from diagnose.review.weaknesses import NEED_CASES, weaknesses
from planted import FIZZ, HERE, PLANTED, Planted, by_condition, cause, cured, fix, question, rule, state
from rule_folders import folder_with


def found_in(at: Path, page: str, met: Met | None = None) -> list[Weakness]:
    """The weaknesses of the sound rules with one page added, those on that page."""
    base = under_law(read_rule_base([folder_with(at, {"page.yaml": page})]))
    return [weak for weak in weaknesses(base, met) if Path(weak.place.file).name == "page.yaml"]


@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted.claim)
def test_a_planted_weakness_is_found_at_its_line(planted: Planted, tmp_path: Path) -> None:
    """The weakness is told once, at the line that a mentor must look at, with what is wrong and the mend."""
    (weak,) = [weak for weak in found_in(tmp_path, planted.weak) if weak.kind == planted.kind]
    lines = [number for number, line in enumerate(planted.weak.split("\n"), 1) if HERE in line]
    assert [weak.place.line] == lines
    assert weak.what.endswith(".")
    assert weak.mend.endswith(".")
    assert not weak.accepted


@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted.claim)
def test_its_sound_twin_is_left_in_peace(planted: Planted, tmp_path: Path) -> None:
    """The same page without the weakness is not told of."""
    assert planted.kind not in {weak.kind for weak in found_in(tmp_path, planted.sound)}


def test_every_kind_is_planted() -> None:
    """No kind of weakness goes without a page that shows it; those that need cases are shown below."""
    assert {planted.kind for planted in PLANTED} | set(NEED_CASES) == set(KINDS)


def test_rows_and_fixes_that_no_case_meets_are_told(tmp_path: Path) -> None:
    """A row or a fix that a case has met is tried; any other is told, at its own line."""
    page = cured(FIZZ, "pour") + fix("pour")
    untried = Met(3, frozenset(), frozenset())
    tried = Met(3, frozenset({("live", 0)}), frozenset({"pour"}))
    told = {
        weak.kind: weak for weak in found_in(tmp_path / "untried", page, untried) if weak.kind in NEED_CASES
    }
    lines = page.split("\n")
    assert lines[told["row_never_met"].place.line - 1].strip() == "- observe: fizz"
    assert lines[told["fix_in_no_case"].place.line - 1].strip() == "- fix: pour"
    assert not {weak.kind for weak in found_in(tmp_path / "tried", page, tried)} & set(NEED_CASES)
    assert not {weak.kind for weak in found_in(tmp_path / "no_cases", page)} & set(NEED_CASES)


def test_what_is_accepted_keeps_its_reason(tmp_path: Path) -> None:
    """A weakness that a mentor has accepted is still listed, with the reason; another on the same page is not."""
    page = (
        question("fizz")
        + question("hiss")
        + (
            "\n- accepted: mine\n  weakness: question_not_read\n  pages: observe.fizz\n  because: It breaks the ice.\n"
        )
    )
    reasons = {
        weak.page: weak.accepted for weak in found_in(tmp_path, page) if weak.kind == "question_not_read"
    }
    assert reasons == {"observe.fizz": "It breaks the ice.", "observe.hiss": ""}


def test_the_uncovered_stretch_is_named(tmp_path: Path) -> None:
    """A mentor reads which numbers no rule speaks of, also where rules hold for some wines only."""
    page = state(
        "warm",
        "yes: y, no: n",
        ("no", "gas_seen: yes, heated_ntu: {below: 0.1}", ""),
        ("yes", "gas_seen: yes, heated_ntu: {at_least: 0.2}", ""),
        ("no", "gas_seen: no, heated_ntu: {at_most: 4}", ""),
        ("yes", "gas_seen: no, heated_ntu: {above: 4}", ""),
    )
    (gap,) = [weak for weak in found_in(tmp_path, page) if weak.kind == "gap_between_figures"]
    assert "heated_ntu from 0.1 to below 0.2" in gap.what


def test_a_pair_that_is_alike_is_named(tmp_path: Path) -> None:
    """Of two causes that cannot be told apart the mentor learns both names."""
    planted = next(planted for planted in PLANTED if planted.kind == "causes_alike")
    (pair,) = [weak for weak in found_in(tmp_path, planted.weak) if weak.kind == "causes_alike"]
    assert (pair.page, pair.part) == ("cause.live", "live_too")


AT_THE_END = state(
    "warm", "yes: y, no: n", ("no", "heated_ntu: {at_most: 0}", ""), ("yes", "heated_ntu: {above: 3}", "")
)
MEET_AT_TWO = state(
    "warm", "yes: y, no: n", ("no", "heated_ntu: {at_most: 2}", ""), ("yes", "heated_ntu: {at_least: 2}", "")
)


@pytest.mark.parametrize(
    ("page", "kind", "line", "says"),
    [
        (MEET_AT_TWO, "figures_overlap", 6, "both 'no' and 'yes' at heated_ntu exactly 2."),
        # A turbidity of these rules is plausible from 0 to 1000.
        (AT_THE_END, "gap_between_figures", 2, "of heated_ntu above 0 up to 3, between figures"),
        (
            question("fizz") + "  ask_when: {heated_ntu: {above: 2000}}\n",
            "never_holds",
            2,
            "heated_ntu is above 2000",
        ),
        (
            cause("live", by_condition("gas_seen: yes", "for") + by_condition("gas_seen: yes", "against")),
            "rows_contradict",
            10,
            "the row on row_1 speaks for 'live', and wherever it holds, the row on row_2",
        ),
    ],
    ids=["one figure twice", "a figure at the end", "a question never asked", "two rows of one condition"],
)
def test_what_is_weak_at_one_point_is_told_once_and_named(
    tmp_path: Path, page: str, kind: str, line: int, says: str
) -> None:
    """One figure, one end, one condition: the mentor reads which, at the line written first."""
    (weak,) = [weak for weak in found_in(tmp_path, page) if weak.kind == kind]
    assert (weak.place.line, says in weak.what) == (line, True), weak


def test_figures_that_nobody_can_enter_leave_no_gap(tmp_path: Path) -> None:
    """Rules beyond all that is plausible can never hold, and that alone is told of them."""
    page = state(
        "warm",
        "yes: y, no: n",
        ("no", "heated_ntu: {above: 1001, below: 1002}", ""),
        ("yes", "heated_ntu: {above: 1003}", ""),
    )
    kinds = [weak.kind for weak in found_in(tmp_path, page) if weak.kind != "value_never_concluded"]
    assert "gap_between_figures" not in kinds and kinds.count("never_holds") == 2


def test_a_rule_is_not_held_against_itself(tmp_path: Path) -> None:
    """A fix named twice in one rule is one offer, and no second rule that adds nothing."""
    page = FIZZ + fix("pour") + rule("now", "fizz: yes", "offer: [pour, pour]")
    assert [weak.kind for weak in found_in(tmp_path, page)] == []


def test_a_weakness_that_only_cases_show_is_not_called_mended_without_them(tmp_path: Path) -> None:
    """What was accepted of worked cases stays accepted where none are tried, and is held to them where they are."""
    page = (
        FIZZ + "\n- accepted: mine\n  weakness: row_never_met\n  pages: cause.live\n  because: No wine yet.\n"
    )
    tried = Met(3, frozenset({("live", 0)}), frozenset())
    assert not [weak for weak in found_in(tmp_path / "none", page) if weak.kind == "accepted_in_vain"]
    assert [weak.kind for weak in found_in(tmp_path / "tried", page, tried)] == ["accepted_in_vain"]
