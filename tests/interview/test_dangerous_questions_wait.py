"""Nobody is asked what would be dangerous to find out: no bottle is opened that may burst, and no poison is tasted."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from at_the_table import CELLAR
from diagnose.casebook.store import new_case, open_case
from diagnose.engine.facts import Value
from diagnose.interview.session import Consultation

TASTED = {"tastes", "sweetness", "tannic_grip"}
SMELLED = {"smells", "foreign_smell"}
OPENED = {"gas", "gravity_now", "gravity_trend", "ph", "free_so2", "total_so2", "alcohol", "turbidity"}

MOST = 10
"""How many questions are listened to; the telling ones come first."""


def asked(folder: Path, topic: str, known: Mapping[str, Value]) -> set[str]:
    """The questions that come after these answers, to somebody who knows none of them."""
    found: set[str] = set()
    with open_case(new_case(folder, "Invented", (topic,), "metric", CELLAR.base), CELLAR.base) as record:
        for name, value in known.items():
            record.record("answered", name, value)
        consultation = Consultation(CELLAR, record)
        while len(found) < MOST and (question := consultation.next_question()):
            found.add(question.observation.observe)
            consultation.skip(question)
    return found


@pytest.mark.parametrize("topic", ["haze", "runaway"])
def test_no_bottle_is_opened_for_a_question(tmp_path: Path, topic: str) -> None:
    """While bottles hiss, no question needs one opened, poured or tasted, be it of the opening or not."""
    hissing = {"wine_is_in": "bottle", "runaway_sign": frozenset({"bottles"})}
    found = asked(tmp_path, topic, hissing)
    assert found
    assert not found & (TASTED | SMELLED | OPENED)


@pytest.mark.parametrize("topic", ["haze", "outside"])
def test_feared_poison_is_neither_tasted_nor_smelled(tmp_path: Path, topic: str) -> None:
    """Where coolant may be in the wine, nobody is asked for its taste or smell."""
    feared = {"foreign_matter_feared": frozenset({"coolant"}), "somebody_ill": "no", "wine_is_in": "vessel"}
    assert not asked(tmp_path, topic, feared) & (TASTED | SMELLED)


def test_wine_with_splinters_is_not_tasted(tmp_path: Path) -> None:
    """Splinters are glass until hot water takes them; until then nobody is asked how it tastes."""
    seen = {"wine_colour": "white", "wine_is_in": "vessel", "looks": frozenset({"splinters"})}
    assert not asked(tmp_path, "haze", seen) & TASTED


def test_safe_wine_is_tasted_and_measured(tmp_path: Path) -> None:
    """A wine in a vessel without any of these dangers is asked about its taste, its smell and its gas."""
    found = asked(tmp_path, "haze", {"wine_colour": "white", "wine_is_in": "vessel"})
    assert {"tastes", "smells", "gas"} <= found


def test_put_off_question_waits_too(tmp_path: Path) -> None:
    """What was put off is not asked on the next visit, when by then the bottles hiss."""
    with open_case(new_case(tmp_path, "Invented", ("haze",), "metric", CELLAR.base), CELLAR.base) as record:
        record.record("answered", "wine_is_in", "bottle")
        record.record("put_off", "tastes")
        record.record("answered", "runaway_sign", frozenset({"bottles"}))
        question = Consultation(CELLAR, record, resumed=True).next_question()
    assert question is None or question.observation.observe != "tastes"
