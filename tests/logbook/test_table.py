"""A table is taken as it was meant, or refused with every mistake at once."""

from __future__ import annotations

import csv
import io
from datetime import date, timedelta

import pytest
from diagnose.bounds import LARGEST_TABLE, MOST_ROWS
from diagnose.logbook.gathered import Gathered
from diagnose.logbook.names import Names
from diagnose.logbook.table import NotATable, decode, read_table
from hypothesis import given, settings
from hypothesis import strategies as st

TODAY = date(2026, 11, 26)


def values(found: Gathered) -> list[tuple[str, str, float]]:
    """What was taken: the moment as a file holds it, the question, the number."""
    return [(one.moment.written, one.name, round(one.value, 6)) for one in found.readings]


def test_heads_hold_names_and_units(names: Names) -> None:
    """A column in °F is taken as °F; an empty cell is a gap."""
    text = "date,gravity,temp (F),free SO2 ppm\n2026-10-01,1.090,68,\n2026-10-02,,70,30\n"
    found = read_table(text, names, TODAY)
    assert not found.faults
    assert values(found) == [
        ("2026-10-01", "gravity_now", 1.09),
        ("2026-10-01", "cellar_temperature", 20),
        ("2026-10-02", "cellar_temperature", 21.111111),
        ("2026-10-02", "free_so2", 30),
    ]


def test_a_column_may_be_a_scale(names: Names) -> None:
    """Brix belongs to one thing only."""
    found = read_table("day\tBrix\ttime\n2026-10-12\t24\t8:30\n", names, TODAY)
    assert values(found) == [("2026-10-12T08:30", "gravity_now", 1.101034)]


@pytest.mark.parametrize("head", ["(Brix)", "[°Bx]", "gravity [Brix]"])
def test_a_scale_in_brackets_is_enough(names: Names, head: str) -> None:
    """Whoever writes only the scale over the column means the one thing that is read on it."""
    assert values(read_table(f"day,{head}\n2026-10-12,24\n", names, TODAY)) == [
        ("2026-10-12", "gravity_now", 1.101034)
    ]


@pytest.mark.parametrize(
    ("heads", "says"),
    [
        ("day,gravity,SG", "'gravity' and 'SG' are the same; take one out."),
        ("day,gravity,date", "'day' and 'date' are the same; take one out."),
        ("day,gravity,temp (kg)", "'kg' is no unit of Temperature of the wine. Known: C, F, K."),
        ("day,gravity,(kg)", "'kg' is nothing that a log keeps."),
        ("day,time", "no column holds readings. A log keeps: density now; pH;"),
        ("day,moon", "'moon' is nothing that a log keeps."),
    ],
)
def test_a_head_that_cannot_be_meant_is_told(names: Names, heads: str, says: str) -> None:
    """Two columns of one thing, a unit that it cannot have, or nothing to keep: nothing is guessed."""
    found = read_table(f"{heads}\n2026-10-12,1.050,20\n", names, TODAY)
    assert any(fault.startswith("Line 1") and says in fault for fault in found.faults)


def test_all_mistakes_are_told_at_once_with_line_and_column(names: Names) -> None:
    """Nobody wants to mend a table one mistake at a time."""
    text = "date,gravity,temp,batch\n2026-10-12,24,20,\n2026-13-12,1.05,68,\n2026-10-14,1.04,19,\n"
    faults = read_table(text, names, TODAY).faults
    for where, what in (
        ("Line 1, column 'batch'", "nothing that a log keeps"),
        ("Line 2, column 'gravity'", "24 Brix would be 1.101"),
        ("Line 3, column 'date'", "no day of the calendar"),
        ("Line 3, column 'temp'", "68 F would be 20 °C"),
    ):
        assert any(fault.startswith(where) and what in fault for fault in faults), where
    assert len(faults) == 4


def test_days_that_may_be_two_keep_nothing(names: Names) -> None:
    """The two readings of the column are told; with the way named it is taken."""
    text = "date;gravity\n12/10/2026;1,050\n1/11/2026;24\n"
    found = read_table(text, names, TODAY)
    assert not found.readings
    assert "12 Oct 2026 or 10 Dec 2026" in found.faults[0] and "Line 3" in found.faults[1]
    clear = text.replace("24", "1,040")
    days = [moment for moment, _, _ in values(read_table(clear, names, TODAY, "day-first"))]
    assert days == ["2026-10-12", "2026-11-01"]


def test_a_decimal_comma_between_commas_is_seen(names: Names) -> None:
    """A row with one cell too many is not shifted."""
    (fault,) = read_table("date,gravity\n2026-10-12,1,050\n", names, TODAY).faults
    assert "3 cells" in fault and "quotes" in fault


def test_two_values_of_one_moment_are_a_slip(names: Names) -> None:
    """Of two densities on one day without times nobody knows which came last."""
    (fault,) = read_table("date,sg\n2026-10-12,1.050\n2026-10-12,1.040\n", names, TODAY).faults
    assert "two values" in fault


@pytest.mark.parametrize("text", ["", "\n\n", "date,gravity\n", "\0"])
def test_what_is_no_table_says_so(names: Names, text: str) -> None:
    """An empty file is not kept in silence."""
    try:
        assert read_table(text, names, TODAY).faults
    except NotATable as error:
        assert str(error)


def test_tables_have_limits(names: Names) -> None:
    """A log of one wine is no data base."""
    with pytest.raises(NotATable, match="larger than"):
        decode(b"x" * (LARGEST_TABLE + 1))
    with pytest.raises(NotATable, match="UTF-8"):
        decode(b"date,temp \xb0C\n")
    with pytest.raises(NotATable, match=f"more than {MOST_ROWS}"):
        read_table("date,sg\n" + "2026-10-12,1.050\n" * (MOST_ROWS + 1), names, TODAY)
    assert decode("date".encode("utf-16")) == "date"


ROWS = st.lists(
    st.tuples(
        st.integers(0, 400),
        st.one_of(st.none(), st.integers(985, 1140)),
        st.one_of(st.none(), st.integers(-40, 390)),
        st.one_of(st.none(), st.integers(0, 3_999_000)),
    ),
    min_size=1,
    max_size=12,
    unique_by=lambda row: row[0],
).filter(lambda rows: any(row[1] is not None for row in rows))
DAYS = ("%Y-%m-%d", "%d %b %Y", "%d.%m.%Y", "%m/%d/%Y")


@settings(max_examples=150)
@given(
    rows=ROWS,
    delimiter=st.sampled_from([",", ";", "\t"]),
    comma=st.booleans(),
    form=st.sampled_from(DAYS),
    ending=st.sampled_from(["\n", "\r\n"]),
)
def test_a_table_that_we_write_is_read_back(
    names: Names,
    rows: list[tuple[int, int | None, int | None, int | None]],
    delimiter: str,
    comma: bool,
    form: str,
    ending: str,
) -> None:
    """Under every delimiter, decimal sign and way to write a day the same readings come out."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator=ending)
    writer.writerow(["Date", "Gravity", "Temp (°C)", "NTU"])
    expected = []
    for ago, gravity, warmth, haze in rows:
        day = TODAY - timedelta(days=ago)
        cells = [
            gravity and gravity / 1000,
            None if warmth is None else warmth / 10,
            None if haze is None else haze / 1000,
        ]
        shown = [
            "" if cell is None else f"{cell:.{places}f}"
            for cell, places in zip(cells, (3, 1, 3), strict=True)
        ]
        writer.writerow([day.strftime(form), *(cell.replace(".", ",") if comma else cell for cell in shown)])
        for name, cell in zip(("gravity_now", "cellar_temperature", "turbidity"), cells, strict=True):
            if cell is not None:
                expected.append((day.isoformat(), name, round(cell, 6)))
    order = {"%d.%m.%Y": "day-first", "%m/%d/%Y": "month-first"}.get(form)
    found = read_table(out.getvalue(), names, TODAY, order)  # type: ignore[arg-type]
    assert not found.faults
    assert values(found) == expected


@settings(max_examples=200)
@given(
    st.one_of(
        st.text(max_size=300),
        st.text(alphabet='date,gravitytemp;\t\n"\r0123456789.-/FC', max_size=200).map(
            lambda text: "date,gravity\n" + text
        ),
    )
)
def test_junk_never_breaks_it(names: Names, text: str) -> None:
    """Whatever is in the file, the person gets sentences."""
    try:
        found = read_table(text, names, TODAY)
    except NotATable as error:
        assert str(error)
    else:
        assert all(found.faults) or found.readings or found.remarks or found == Gathered()


@pytest.mark.parametrize(
    ("head", "says"),
    [
        ("date,gravity,density", "'gravity' and 'density' are the same; take one out."),
        ("date,day,gravity", "'date' and 'day' are the same; take one out."),
        ("date,gravity (mg/L)", "'mg/L' is no unit of Density now. Known: "),
        ("date,temp (pints),gravity", "'pints' is no unit of Temperature of the wine. Known: "),
        ("date,batch (7)", "nothing that a log keeps"),
        ("date,time", "no column holds readings. A log keeps: density now; pH; "),
        ("date,,", "no column holds readings."),
        ("gravity,temp", "no column holds the day. Name the columns there, the day `date`."),
    ],
)
def test_a_head_that_names_no_column_is_told_with_the_mend(names: Names, head: str, says: str) -> None:
    """Two columns of one thing, a strange unit, or nothing to keep: the line of the head is named."""
    found = read_table(f"{head}\n2026-10-12,8:30,1.050\n", names, TODAY)
    assert any(fault.startswith("Line 1") and says in fault for fault in found.faults), found.faults


def test_a_head_of_a_unit_in_brackets_is_enough_where_one_thing_has_it(names: Names) -> None:
    """`(Brix)` can only be the sugar of the must; 24 Brix are a gravity of 1.101."""
    found = read_table("day,(Brix)\n2026-10-12,24\n", names, TODAY)
    assert not found.faults and values(found) == [("2026-10-12", "gravity_now", 1.101034)]
