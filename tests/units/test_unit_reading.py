import contextlib
import math

import pytest
from diagnose.units import NotAQuantity, System, UnknownQuantity, quantities, read_quantity
from hypothesis import given
from hypothesis import strategies as st

GOOD = [
    ("38 F", "temperature", "metric", 3.3333),
    ("38F", "temperature", "metric", 3.3333),
    ("38°F", "temperature", "metric", 3.3333),
    ("38 ℉", "temperature", "metric", 3.3333),
    ("38 degrees F", "temperature", "metric", 3.3333),
    ("38", "temperature", "us", 3.3333),
    ("18", "temperature", "metric", 18),
    ("18 °", "temperature", "metric", 18),
    ("18 deg C", "temperature", "us", 18),
    ("-4", "temperature", "metric", -4),
    ("−4 °C", "temperature", "us", -4),
    ("minus 4 C", "temperature", "us", -4),
    ("about -4 C", "temperature", "us", -4),
    ("5 gal", "volume", "metric", 18.927),
    ("5 GALLONS", "volume", "metric", 18.927),
    ("5", "volume", "us", 18.927),
    ("5", "volume", "metric", 5),
    ("1 1/2 gal", "volume", "metric", 5.6781),
    ("1-1/2 gal", "volume", "metric", 5.6781),
    ("1½ gal", "volume", "metric", 5.6781),
    ("1 ½ gal", "volume", "metric", 5.6781),
    ("½ gal", "volume", "metric", 1.8927),
    ("1⁄2 gal", "volume", "metric", 1.8927),
    ("1 1∕2 gal", "volume", "metric", 5.6781),
    ("¾gal", "volume", "metric", 2.8391),
    ("16 fl. oz.", "volume", "metric", 0.47318),
    ("1 imp gal", "volume", "metric", 4.54609),
    ("750ml", "volume", "us", 0.75),
    ("2 hl", "volume", "us", 200),
    ("1 000 L", "volume", "us", 1000),
    ("1,234.5 L", "volume", "us", 1234.5),
    ("1.234,5 L", "volume", "us", 1234.5),
    ("12,000,000 mL", "volume", "us", 12000),
    (".5 L", "volume", "us", 0.5),
    ("5. L", "volume", "us", 5),
    ("+5 L", "volume", "us", 5),
    ("2e2 L", "volume", "us", 200),
    ("0,5 g/L", "dose", "us", 0.5),
    ("0,125 g/L", "dose", "us", 0.125),
    ("0.5", "dose", "us", 0.5),
    ("50 g/hL", "dose", "us", 0.5),
    ("50 g / hl", "dose", "us", 0.5),
    ("50 grams per hectolitre", "dose", "us", 0.5),
    ("25 lbs per 1,000 gallons", "dose", "metric", 2.99566),
    ("25 lb/1000 gal", "dose", "metric", 2.99566),
    ("60 ppm", "trace", "us", 60),
    ("60 mg/L", "trace", "us", 60),
    ("60", "trace", "us", 60),
    ("0.06 g/L", "trace", "us", 60),
    ("1/2 oz", "mass", "metric", 14.175),
    ("5", "mass", "us", 5),
    ("٣ g", "mass", "us", 3),
    ("24 Brix", "gravity", "us", 1.10103),
    ("24 °Bx", "gravity", "us", 1.10103),
    ("24° Brix", "gravity", "us", 1.10103),
    ("-1.5 Brix", "gravity", "us", 0.99425),
    ("90 Oe", "gravity", "metric", 1.09),
    ("90 Öchsle", "gravity", "metric", 1.09),
    ("1.012", "gravity", "metric", 1.012),
    ("1012", "gravity", "metric", 1.012),
    ("995", "gravity", "metric", 0.995),
    ("1,012", "gravity", "metric", 1.012),
    ("SG 1.012", "gravity", "metric", 1.012),
    ("1.012 sg", "gravity", "metric", 1.012),
    ("3.45", "ph", "us", 3.45),
    ("pH 3,45", "ph", "us", 3.45),
    ("pH: 3.45", "ph", "us", 3.45),
    ("12.5 %", "alcohol", "us", 12.5),
    ("12.5% ABV", "alcohol", "us", 12.5),
    ("1.5 NTU", "turbidity", "us", 1.5),
    ("-0.2", "turbidity", "us", -0.2),
    ("30 min", "duration", "us", 0.0208333),
    ("6 h", "duration", "us", 0.25),
    ("10", "duration", "us", 10),
    ("2 weeks", "duration", "us", 14),
    ("1 month", "duration", "us", 30.44),
    ("0.45 µm", "pore_size", "us", 0.45),
    ("0.45 μm", "pore_size", "us", 0.45),
    ("0,45 micron", "pore_size", "us", 0.45),
    ("22", "pressure", "us", 1.51685),
    ("150 kPa", "pressure", "us", 1.5),
    ("5 %", "percent", "us", 5),
    ("-3 percent", "percent", "us", -3),
    ("3", "count", "us", 3),
    ("2", "length", "us", 5.08),
    ('2"', "length", "metric", 5.08),
    ("about 20", "temperature", "metric", 20),
    ("~20", "temperature", "metric", 20),
    ("≈ 20 L", "volume", "metric", 20),
    ("ca. 20 L", "volume", "metric", 20),
    ("approx. 20 L", "volume", "metric", 20),
    ("  20\u00a0L  ", "volume", "metric", 20),
]


@pytest.mark.parametrize(("text", "quantity", "prefer", "value"), GOOD)
def test_what_people_write_is_understood(text: str, quantity: str, prefer: System, value: float) -> None:
    """A reading is taken as it was jotted down beside the tank."""
    assert read_quantity(text, quantity, prefer) == pytest.approx(value, rel=2e-5)


BAD = [
    ("", "mass", "is empty"),
    ("   ", "mass", "is empty"),
    ("about", "mass", "is empty"),
    ("a few grams", "mass", "no number"),
    ("nan", "mass", "no number"),
    ("inf g", "mass", "no number"),
    ("1e999 g", "mass", "too large"),
    ("1e308 kg", "mass", "ordinary number"),
    ("9" * 400, "mass", "too long"),
    ("1/0 g", "mass", "divides by nothing"),
    ("1.2.3 g", "mass", "no number that can be read"),
    ("1_000 g", "mass", "no unit of mass"),
    ("0x10 g", "mass", "no unit of mass"),
    ("5 gal", "temperature", "is a volume, and a temperature is expected"),
    ("5 %", "dose", "is a percentage, and a dose is expected"),
    ("5 oz", "volume", "is a mass, and a volume is expected"),
    ("5 g", "dose", "is a mass, and a dose is expected"),
    ("20 C", "gravity", "is a temperature, and a gravity is expected"),
    ("5 flurbs", "volume", "no unit of volume.*known: L, mL"),
    ("5 teaspoons", "dose", "no unit of dose"),
    ("13 Baumé", "gravity", "no unit of gravity.*known: SG, Brix"),
    ("3 bottles", "count", "plain number"),
    ("24", "gravity", "needs its scale"),
    ("1,000 L", "volume", "may mean 1000 or 1.000"),
    ("2,500 g/L", "dose", "may mean 2500 or 2.500"),
    ("10-20 C", "temperature", "is a range"),
    ("10 – 20 C", "temperature", "is a range"),
    ("10 C to 20 C", "temperature", "is a range"),
    ("3 to 4 days", "duration", "is a range"),
    ("-5 gal", "volume", "cannot be below 0"),
    ("-300 C", "temperature", "cannot be below -273.15"),
    ("15", "ph", "cannot be above 14"),
    ("400 Brix", "gravity", "cannot be above 1.2"),
    ("18 mg/L/L", "dose", "no unit of dose"),
    ("5 g 3 mg", "mass", "no unit of mass"),
    ("5 \x1b[31mg", "mass", r"'5 \?\[31mg'"),
]


@pytest.mark.parametrize(("text", "quantity", "why"), BAD)
def test_what_cannot_be_understood_is_asked_again(text: str, quantity: str, why: str) -> None:
    """A bad reading is refused with a reason and an example, never guessed at."""
    with pytest.raises(NotAQuantity, match=why) as refusal:
        read_quantity(text, quantity, "metric")
    assert "Write for example" in str(refusal.value)
    assert "\x1b" not in str(refusal.value)
    assert len(str(refusal.value)) < 300


@pytest.mark.parametrize("quantity", quantities())
def test_the_examples_shown_are_themselves_understood(quantity: str) -> None:
    """A person who copies the example from the refusal is not refused again."""
    with pytest.raises(NotAQuantity) as refusal:
        read_quantity("?", quantity, "metric")
    examples = str(refusal.value).partition("Write for example ")[2].removesuffix(".").split(" or ")
    for example in examples:
        read_quantity(example, quantity, "us")


@given(st.text(max_size=80), st.sampled_from(quantities()), st.sampled_from(["metric", "us"]))
def test_no_text_can_break_the_reader(text: str, quantity: str, prefer: System) -> None:
    """Whatever is typed, the answer is an ordinary number or a refusal."""
    try:
        assert math.isfinite(read_quantity(text, quantity, prefer))
    except NotAQuantity as refusal:
        assert "Write for example" in str(refusal)


@given(st.text("0123456789.,/ -+e½°FCgLal", max_size=20), st.sampled_from(quantities()))
def test_no_jumble_of_digits_can_break_the_reader(text: str, quantity: str) -> None:
    """Slips of the thumb on a telephone give a number or a refusal too."""
    with contextlib.suppress(NotAQuantity):
        assert math.isfinite(read_quantity(text, quantity, "us"))


def test_a_quantity_that_does_not_exist_is_the_programs_fault() -> None:
    """A rule that asks for a quantity nobody defined is told so, not the person."""
    with pytest.raises(UnknownQuantity):
        read_quantity("5", "colour", "metric")
