"""Every calculator against figures that somebody else printed."""

from __future__ import annotations

import pytest
from checks import Check, all_checks
from diagnose.calculators import calculators, worksheets


@pytest.mark.parametrize("check", all_checks(), ids=lambda check: f"{check.calculator}: {check.what}"[:90])
def test_our_figure_is_the_printed_one(check: Check) -> None:
    """Our value lies within the rounding of the print, or within what the note defends."""
    assert abs(check.ours() - check.printed) <= check.tolerance, (check.ours(), check.printed, check.source)


def test_every_calculator_has_a_published_check() -> None:
    """No calculator stands on our word alone."""
    checked = {check.calculator for check in all_checks()}
    assert not (set(calculators()) | set(worksheets())) - checked


def test_every_check_is_of_a_calculator_that_exists() -> None:
    """A check that names no calculator checks nothing."""
    assert not {check.calculator for check in all_checks()} - set(calculators()) - set(worksheets())


def test_every_check_names_a_source() -> None:
    """A figure without a source is no check."""
    assert all(len(check.source) > 10 and check.tolerance >= 0 for check in all_checks())
