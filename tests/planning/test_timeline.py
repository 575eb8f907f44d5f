"""The drawing of a plan's days can be read on a narrow screen, in print, and without colour."""

from __future__ import annotations

from datetime import date, timedelta

from diagnose.planning.fixes import FixAdvice
from diagnose.planning.whole import PlannedStep, Projected, WholePlan
from diagnose.present.timeline import day_words, timeline
from hypothesis import given
from hypothesis import strategies as st

FIRST = date(2026, 3, 2)
WINE = Projected({}, {})


def step(name: str, start: int, looks: list[int]) -> PlannedStep:
    """A step that begins so many days after the first, and is looked at so many days after that."""
    advice = FixAdvice(name, "open", 1.0, (), {}, (), (), (), ())
    begins = FIRST + timedelta(days=start)
    checks = tuple(begins + timedelta(days=look) for look in looks)
    return PlannedStep(advice, begins, False, checks, (), WINE, WINE, ())


def drawn(steps: list[PlannedStep], width: int) -> tuple[str, ...]:
    """The drawing of these steps."""
    plan = WholePlan(FIRST, tuple(steps), (), (), (), (), WINE)
    return timeline(plan, [each.advice.fix for each in steps], width)


def test_each_day_is_a_sign_where_there_is_room() -> None:
    """Clay on the first day with a look a week later, and a filter on that day with a look the day after."""
    lines = drawn([step("Clay", 0, [7]), step("Filter", 7, [1])], 60)
    clay, after = lines[1].partition("Clay")[2].strip(), lines[2]
    assert clay == "#------o"
    assert after.endswith("#o")
    assert after.index("#") == lines[1].index("o")
    assert lines[0].strip().startswith("2 Mar")


def test_a_step_without_a_day_to_look_says_so() -> None:
    """Its line goes on, and the signs are explained below."""
    lines = drawn([step("Laboratory", 0, [])], 60)
    assert lines[1].endswith("#>")
    assert "no day" in lines[-1]


def test_a_long_plan_says_how_many_days_a_sign_is() -> None:
    """Three months do not fit one sign a day on a narrow screen."""
    lines = drawn([step("Crystals of calcium", 0, [90])], 60)
    assert any(line.startswith("One sign is ") for line in lines)


NAMES = st.text(alphabet="abcdefgh ", min_size=1, max_size=70).map(lambda name: name.strip() or "x")


@given(
    st.lists(
        st.tuples(
            NAMES,
            st.integers(0, 200),
            st.lists(st.integers(0, 400), max_size=4, unique=True).map(sorted),
        ),
        min_size=1,
        max_size=8,
    ),
    st.integers(60, 120),
)
def test_no_line_is_wider_than_the_screen(steps: list[tuple[str, int, list[int]]], width: int) -> None:
    """Every step has its line with a beginning, whatever the names and the days."""
    lines = drawn([step(*each) for each in steps], width)
    assert max(map(len, lines)) <= width
    for line in lines[1 : 1 + len(steps)]:
        assert line.count("#") == 1


def test_days_are_worded_alike_on_every_machine() -> None:
    """Day, number and month, and no locale."""
    assert day_words(date(2026, 3, 2)) == "Mon 2 Mar"
    assert day_words(date(2027, 12, 31)) == "Fri 31 Dec"
