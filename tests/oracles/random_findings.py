"""Random small weighings: causes, and findings that speak of them."""

from __future__ import annotations

from diagnose.reasoning.weigh import UNKNOWN, FindingRows, Row
from hypothesis import strategies as st

STRENGTHS = (-20.0, -13.0, -7.0, -3.0, 3.0, 7.0, 13.0, 20.0)
CAUSES = ("a", "b", "c", "d", "e")


@st.composite
def weighings(draw: st.DrawFn) -> tuple[dict[str, float], list[FindingRows]]:
    """Up to five causes and the unknown one; up to six findings, some of which measure the same thing."""
    causes = CAUSES[: draw(st.integers(1, len(CAUSES)))]
    prior = st.sampled_from([0.01, 0.03, 0.1, 0.3])
    priors = {cause: draw(prior) for cause in (*causes, UNKNOWN)}
    found = []
    for number in range(draw(st.integers(0, 6))):
        about = draw(st.sampled_from(["heat", "gas", f"f{number}"]))
        rows = [
            Row(cause, number, draw(st.sampled_from(STRENGTHS)), about)
            for cause in draw(st.lists(st.sampled_from(causes), min_size=1, unique=True))
        ]
        normal = draw(st.sampled_from([0.01, 0.1, 0.3, 0.7, 0.9]))
        found.append(FindingRows(f"f{number}", "yes", normal, draw(st.booleans()), tuple(rows)))
    return priors, found
