from __future__ import annotations

import json
import random
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from crash_points import WAYS, NotReached, Outcome, Place, lay, look, padded, point, started, until_end
from crash_races import race
from crash_stories import SHORT, STORIES
from long_run import AT_THE_DISK

SAMPLE = [(kind, seed) for kind in sorted({*WAYS}) for seed in (1, 2)] + [
    (AT_THE_DISK, seed) for seed in (3, 4)
]
"""Two points of each kind, and four where a file operation is cut: up to 24 of the hundreds of the long run."""


@pytest.mark.parametrize(("kind", "seed"), SAMPLE)
def test_nothing_told_to_be_kept_is_lost(kind: str, seed: int, cache: Path) -> None:
    """Stopped in any way, at any moment: all that the screen said is kept is in the file, and every file reads."""
    try:
        outcome = point(kind, seed, cache, among=SHORT)
    except NotReached:
        pytest.fail(f"no point was found for '{kind}'; see whether the story still does what it says")
    assert outcome.wrong == []


def test_writers_at_one_case_lose_nothing_of_each_other(cache: Path) -> None:
    """One of them is killed; the others are told to wait, and each entry is there once."""
    assert race(1, cache, most=3).wrong == []


def test_a_disk_that_lies_is_found_out(cache: Path) -> None:
    """The checks above can fail: a disk that says it wrote and did not is seen as a loss."""
    story = padded(random.Random(1), STORIES["note a remark"])
    with TemporaryDirectory() as folder:
        place = Place(Path(folder), cache)
        lay(place, story)
        plan = {"folder": str(place.cases), "journal": str(place.journal), "operations": ["write"]}
        bad = {**plan, "at": 2, "how": "lies", "share": 0, "stays": True}
        with started(place, story, bad) as terminal:
            stopped = until_end(terminal)
        outcome = Outcome("lies", story.name, 1)
        look(place, story, stopped, outcome)
        asked = place.journal.read_text()
    assert [wrong.split(":")[0] for wrong in outcome.wrong] == ["LOST"], (asked, json.dumps(stopped.screen))
