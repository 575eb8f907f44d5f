"""The pictures of screens say what the screens say now, are small, fetch nothing, and are shown somewhere."""

from __future__ import annotations

import re

import pytest
from pages import all_text
from screenshots import SCREENS, SHOTS, screen, words_of

RENEW = "run: python tests/docs/screenshots.py"


@pytest.mark.parametrize("name", SHOTS)
def test_a_picture_says_what_the_screen_says(name: str) -> None:
    """Word for word, whatever letters it is drawn with."""
    now = "\n".join(" ".join(line.split()) for line in screen(SHOTS[name]).plain.split("\n") if line.strip())
    assert words_of((SCREENS / f"{name}.svg").read_text(encoding="utf-8")) == now, RENEW


def test_every_picture_is_shown_small_and_its_own() -> None:
    """Each is linked from a page with what it shows in words, and needs nothing from elsewhere."""
    assert {file.stem for file in SCREENS.glob("*.svg")} == set(SHOTS)
    for name, shot in SHOTS.items():
        svg = (SCREENS / f"{name}.svg").read_text(encoding="utf-8")
        assert len(svg) < 40_000
        assert not re.findall(r"https?://(?!www\.w3\.org/2000/svg)", svg)
        assert re.search(rf"!\[{re.escape(shot.says)}\]\([\w/.-]*screens/{name}\.svg\)", all_text())
