"""Try worked cases on the rules, several at once."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from diagnose.knowledge.own import RuleFolders
from diagnose.present.tried import show_coverage, show_tried
from diagnose.review.coverage import coverage
from diagnose.review.trying import case_files, processors, try_cases
from diagnose.shipped import shipped_folder

from .setup import make_cellar, make_page
from .status import DONE, WRONG


def try_them(rules: RuleFolders, named: Sequence[Path], jobs: int | None, cover: bool) -> int:
    """Try the cases named, or all that came along, and show those that do not come out as expected."""
    files = case_files(named or [shipped_folder("cases")])
    make = partial(make_cellar, rules)
    cellar = make()  # says what is wrong with the rules before any process is started
    tried = try_cases(make, files, jobs or processors())
    page = make_page()
    show_tried(page, tried)
    if cover:
        show_coverage(page, coverage(cellar.rules, [item.spoke for item in tried]))
    return DONE if all(item.as_expected for item in tried) and tried else WRONG
