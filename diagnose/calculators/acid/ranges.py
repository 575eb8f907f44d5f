"""What a sum about acid takes for a possible number, said once."""

from __future__ import annotations

from ..amounts import within


def acidity(value: float, what: str = "titratable acidity") -> float:
    """An acidity in g/L: 0 to 100. Raises `OutOfRange`."""
    return within(
        what, value, "g/L", at_least=0, at_most=100, mend="Check the unit: 0.65 % (g/100 mL) is 6.5 g/L."
    )


def change(value: float, what: str) -> float:
    """A wanted change of acidity in g/L: above 0, at most 20. Raises `OutOfRange`."""
    return within(
        what,
        value,
        "g/L",
        more_than=0,
        at_most=20,
        mend="Give the difference between the acidity wanted and the acidity now, in g/L.",
    )


def added(value: float, what: str) -> float:
    """What goes in or drops out, in g/L: 0 to 40. Raises `OutOfRange`."""
    return within(what, value, "g/L", at_least=0, at_most=40, mend="Give grams for one litre of wine.")


def share(value: float, what: str) -> float:
    """A share in percent: 0 to 100. Raises `OutOfRange`."""
    return within(what, value, "%", at_least=0, at_most=100, mend="Give a share of the whole in percent.")


def purity(value: float) -> float:
    """The share of pure acid in what is weighed, in percent: above 0, at most 100. Raises `OutOfRange`."""
    return within(
        "purity",
        value,
        "%",
        more_than=0,
        at_most=100,
        mend="Read it on the label: 100 for dry acid, 91.4 for citric acid monohydrate.",
    )
