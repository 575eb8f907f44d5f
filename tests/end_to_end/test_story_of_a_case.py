"""One wine from the first question to the lesson, by the real command; every page tells the same. Invented."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from ready_start import Run
from test_reports import read_html, read_markdown, said

ANSWERS = [
    "white",
    "grapes",
    "vessel",
    "even_veil",
    "haze_began: after_clear",
    "came_after: warming",
    "gas: none",
    "heat_test_eye: much_hazier",
    "vessel_volume: 50 L",
    "bentonite_dose: 0.4 g/L",
    "bentonite_slurry: 50 g/L",
    "enough",
    "stop",
]
"""A white that fails its heat test; 50 L at 0.4 g/L want 20 g of clay in 400 mL."""

LESSON = "Half the clay of the packet was enough."


def ok(run: Run, *words: str, **more: Any) -> str:
    """What a command says that ends well, with one space between words."""
    done = run(*words, **more)
    assert done.returncode in (0, 3), (words, done.stdout, done.stderr)
    return " ".join(done.stdout.split())


def report(run: Run, case: str, home: Path) -> tuple[str, str]:
    """Both forms of the report, as a reader of each reads them."""
    for ending in ("html", "md"):
        ok(run, "report", case, "--to", str(home / f"report.{ending}"))
    html = read_html((home / "report.html").read_text(encoding="utf-8"))
    return said(html), said(read_markdown((home / "report.md").read_text(encoding="utf-8")))


def test_the_story_of_a_case(run: Run, home: Path) -> None:
    """Asked, planned, done, due, checked not good, asked on, read, reported, closed; the next case hears of it."""
    today = date.today()
    look = today + timedelta(days=7)
    begun = run("--wine", "Garden white", lines=ANSWERS)
    case = re.findall(r"^Case (\w+)", begun.stdout, re.M)[0]
    first = json.loads(run("plan", case, "--json").stdout)
    assert "bentonite" in [step["id"] for step in first["steps"]]
    assert next(need for need in first["needs"] if need["unit"] == "g")["low"] == 20

    told = ok(run, "done", case, "bentonite", "clay=20 g", "slurry=600 mL", "--note", "stirred <b>gently</b>")
    assert f"Check it on {look}" in told
    after = json.loads(run("plan", case, "--json").stdout)
    assert "bentonite" not in [step["id"] for step in after["steps"]]
    assert after["done"] == [
        {
            "id": "bentonite",
            "name": "Take the protein out with bentonite",
            "done_on": str(today),
            "looks": [str(look)],
        }
    ]
    # 600 mL went into 50 L and the clay takes a part of the wine; as planned it were 400 mL.
    wine = after["now"]["numbers"]
    assert wine["added_water"]["value"] > 1.15
    shown = ok(run, "plan", case)
    assert f"done on {today}, check on {look}" in shown and "600 mL went in" in shown
    due = ok(run, "due", "--on", str(look))
    assert "Today - Check: Take the protein out with bentonite" in due and f"done on {today}" in due
    for text in report(run, case, home):
        assert f"done on {today}, check on {look}" in text
        assert "stirred <b>gently</b>" in text and "20 g" in text and "600 mL" in text
        assert not re.search(r"\d\. Take the protein out", text)

    checked = ok(run, "checked", case, "bentonite", "not-good", "--note", "as dull as before")
    assert f"diagnose continue {case}" in checked
    asked = ok(run, "continue", case, lines=["stop"])
    assert "?" in asked
    ok(run, "log", case, "temp=18C", "gravity=0.994", "--on", str(today))
    log = ok(run, "log", case, environment={"COLUMNS": "120"})
    assert "Done: Take the protein out" in log and "18 °C" in log
    for text in report(run, case, home):
        assert "checked: not good" in text and "as dull as before" in text
        assert f"done on {today}, checked on {today}: not good." in text
        assert "18 °C" in text and "0.994" in text and f"{case}, open" in text
    assert "Check: Take the protein" not in ok(run, "due", "--on", str(look))

    ok(run, "close", case, "not-solved", "--lesson", LESSON)
    for text in report(run, case, home):
        assert f"Closed on {today}: not solved." in text and f"The lesson: {LESSON}" in text
        assert f"{case}, closed" in text
    second = ok(run, "--wine", "Garden white", lines=["yes", *ANSWERS[2:]])
    assert LESSON in second
