"""The stock that carries the agent, and the instrument that measures it out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ..amounts import within

StockUnit = Literal["mL", "g"]


@dataclass(frozen=True)
class Stock:
    """An agent in water: its strength, and whether it is measured out by volume (mL) or weighed (g).

    `grams_per_ml` is grams of agent per mL of stock. `density_g_per_ml` is that of the stock itself.
    """

    grams_per_ml: float
    unit: StockUnit = "mL"
    density_g_per_ml: float = 1.0

    def __post_init__(self) -> None:
        """Refuse a stock that cannot be: stronger than 1 g/mL, or with an odd density."""
        within(
            "strength of the stock",
            self.grams_per_ml,
            "g/mL",
            more_than=0,
            at_most=1,
            mend="A 5 % slurry, 50 g made up to one litre, is 0.05 g/mL.",
        )
        within(
            "density of the stock", self.density_g_per_ml, "g/mL", at_least=0.7, at_most=2, mend="Water: 1."
        )

    @classmethod
    def made_up(cls, grams: float, ml: float, agent_density_g_per_ml: float | None = None) -> Stock:
        """A stock of some grams of agent made up to a volume in mL, measured by volume.

        With the density of the dry agent the weight of the stock is known too: the agent takes the room of
        its own volume of water. Without it the stock is taken to weigh as much as water.
        """
        within("volume of the stock", ml, "mL", more_than=0, mend="Give the volume it was made up to, in mL.")
        if agent_density_g_per_ml is None:
            return cls(grams / ml)
        return cls(grams / ml, "mL", 1 + grams / ml * (1 - 1 / agent_density_g_per_ml))

    @classmethod
    def weighed(cls, agent_g: float, water_g: float, agent_density_g_per_ml: float) -> Stock:
        """A stock mixed by weight and weighed out again; the density of the dry agent gives its volume.

        For bentonite about 2.5 g/mL (from memory).
        """
        within("agent in the stock", agent_g, "g", more_than=0, mend="Weigh the agent in grams.")
        within("water in the stock", water_g, "g", more_than=0, mend="Weigh the water in grams.")
        within(
            "density of the agent",
            agent_density_g_per_ml,
            "g/mL",
            at_least=0.5,
            at_most=5,
            mend="See its data.",
        )
        volume = agent_g / agent_density_g_per_ml + water_g
        return cls(agent_g / volume, "g", (agent_g + water_g) / volume)

    @property
    def grams_per_unit(self) -> float:
        """Grams of agent in one unit of stock, mL or g."""
        return self.grams_per_ml if self.unit == "mL" else self.grams_per_ml / self.density_g_per_ml

    def ml(self, amount: float) -> float:
        """The volume in mL of an amount of stock given in its own unit."""
        return amount if self.unit == "mL" else amount / self.density_g_per_ml


@dataclass(frozen=True)
class Pipette:
    """What measures a stock by volume: the smallest volume it can be trusted with, and its marks, in mL."""

    smallest_ml: float
    step_ml: float

    def __post_init__(self) -> None:
        """Refuse marks of nothing."""
        _instrument("pipette", self.smallest_ml, self.step_ml, "mL")

    unit = "mL"

    @property
    def smallest(self) -> float:
        """The smallest trusted amount, in mL."""
        return self.smallest_ml

    @property
    def step(self) -> float:
        """The finest mark, in mL."""
        return self.step_ml


@dataclass(frozen=True)
class Balance:
    """What weighs a stock: the smallest weight it can be trusted with, and its steps, in g."""

    smallest_g: float
    step_g: float

    def __post_init__(self) -> None:
        """Refuse steps of nothing."""
        _instrument("balance", self.smallest_g, self.step_g, "g")

    unit = "g"

    @property
    def smallest(self) -> float:
        """The smallest trusted amount, in g."""
        return self.smallest_g

    @property
    def step(self) -> float:
        """The finest step, in g."""
        return self.step_g


def _instrument(what: str, smallest: float, step: float, unit: str) -> None:
    mend = f"Read it off the {what}."
    within(f"step of the {what}", step, unit, more_than=0, mend=mend)
    within(f"smallest amount of the {what}", smallest, unit, at_least=0, mend=mend)
