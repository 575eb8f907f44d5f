"""The weighing done again by the longest way, for comparison: every set of causes, one at a time.

Nothing here is shared with the program but the plain records of rows and findings.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from diagnose.reasoning.weigh import FindingRows, Row

Set = frozenset[str]


def all_sets(causes: Sequence[str], most: int) -> list[Set]:
    """Every set of one to `most` causes."""
    found = []
    for bits in range(1, 2 ** len(causes)):
        chosen = frozenset(cause for place, cause in enumerate(causes) if bits >> place & 1)
        if len(chosen) <= most:
            found.append(chosen)
    return found


def counted_rows(findings: Sequence[FindingRows]) -> list[tuple[FindingRows, Row]]:
    """Rows left when, of rows of one cause, one group and one direction, only the strongest stays."""
    rows = [(finding, row) for finding in findings for row in finding.rows]

    def beaten(finding: FindingRows, row: Row) -> bool:
        rivals = [
            (abs(other.decibans), at.key, at.answer, other.row)
            for at, other in rows
            if (other.cause, other.about, other.decibans > 0) == (row.cause, row.about, row.decibans > 0)
        ]
        return (abs(row.decibans), finding.key, finding.answer, row.row) < max(rivals)

    return [(finding, row) for finding, row in rows if not beaten(finding, row)]


def likelihood(finding: FindingRows, rows: Sequence[tuple[FindingRows, Row]], causes: Set) -> float:
    """Chance of a finding with these causes at work, over its chance with none."""
    ratios: dict[str, float] = {}
    for at, row in rows:
        if at is finding:
            ratios[row.cause] = ratios.get(row.cause, 1.0) * 10 ** (row.decibans / 10)
    leak = min(finding.normal, 0.95 / max([1.0, *ratios.values()]))
    here = {cause: ratio for cause, ratio in ratios.items() if cause in causes}
    against = [ratio for ratio in here.values() if ratio < 1]
    # Each cause alone would bring the finding with this chance beyond the leak.
    brings = [1 - (1 - leak * ratio) / (1 - leak) for ratio in here.values() if ratio > 1]
    if against and (finding.nothing or not brings):
        return math.prod(against)
    if not brings:
        return 1.0
    return (1 - (1 - leak) * math.prod(1 - share for share in brings)) / leak


def chances_of_sets(
    priors: Mapping[str, float], findings: Sequence[FindingRows], most: int = 3
) -> dict[Set, float]:
    """The chance of every set of causes."""
    rows = counted_rows(findings)
    score = {
        causes: math.prod(priors[cause] / (1 - priors[cause]) for cause in causes)
        * math.prod(likelihood(finding, rows, causes) for finding in findings)
        for causes in all_sets(sorted(priors), most)
    }
    total = sum(score.values())
    return {causes: value / total for causes, value in score.items()}


def chances(priors: Mapping[str, float], findings: Sequence[FindingRows]) -> dict[str, float]:
    """The chance of each cause."""
    sets = chances_of_sets(priors, findings)
    return {cause: sum(chance for causes, chance in sets.items() if cause in causes) for cause in priors}


def doubt(sets: Mapping[Set, float]) -> float:
    """Entropy in bits."""
    return -sum(chance * math.log2(chance) for chance in sets.values() if chance > 0)
