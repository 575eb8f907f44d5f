from __future__ import annotations

import math
from collections import defaultdict

import pytest
from chempy import Substance
from chempy.equilibria import EqSystem
from diagnose.calculators import OutOfRange, calculators
from diagnose.calculators.acid import losses as acid_losses
from diagnose.calculators.charge_balance import additions, balance, buffering, constants, losses
from diagnose.calculators.charge_balance.balance import Wine
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq, fsolve

GRAMS = st.floats(0, 6)
ACIDS = st.tuples(
    st.floats(1, 8), GRAMS, st.floats(0, 4), st.floats(0, 1), st.floats(0, 1), st.floats(0, 1.5)
)
PH = st.floats(3.0, 4.3)
ALCOHOL = st.floats(0, 16)
STRENGTH = st.floats(0, 0.2)

WHITE = (2.5, 2.0, 0.3, 0.2, 0.3, 0.6)
"""Tartaric, malic, lactic, citric, acetic, succinic acid in g/L: an invented dry white."""


def own_balance(ph: float, acids: tuple[float, ...], alcohol: float, strength: float) -> float:
    """The cation excess in meq/L, written out afresh with products of constants instead of shares of weights."""
    molar = (150.087, 134.087, 90.078, 192.124, 60.052, 118.088)
    water = ((3.04, 4.37), (3.40, 5.11), (3.86,), (3.13, 4.76, 6.40), (4.76,), (4.21, 5.64))
    gamma = -0.509 * (strength**0.5 / (1 + strength**0.5) - 0.3 * strength)
    h = 10**-ph
    charge = 0.0
    for grams, mass, steps in zip(acids, molar, water, strict=True):
        k = [10 ** -(pk + 0.17 * alcohol / 12 + (2 * i + 1) * gamma) for i, pk in enumerate(steps)]
        n = len(k)
        top = sum(j * h ** (n - j) * math.prod(k[:j]) for j in range(1, n + 1))
        bottom = sum(h ** (n - j) * math.prod(k[:j]) for j in range(n + 1))
        charge += 1000 * grams / mass * top / bottom
    return charge - 1000 * (h - 1e-14 / h) / 10**gamma


@given(ACIDS, st.floats(0, 60), ALCOHOL, STRENGTH)
def test_ph_agrees_with_an_outside_root(
    acids: tuple[float, ...], cations: float, alcohol: float, strength: float
) -> None:
    """The pH is the root that scipy finds in a balance written out separately."""
    if cations > 0.8 * own_balance(9, acids, alcohol, strength):
        return
    theirs = brentq(lambda ph: own_balance(ph, acids, alcohol, strength) - cations, 1, 9, xtol=1e-12)
    ours = balance.ph_from_acids(cations, *acids, alcohol_percent=alcohol, ionic_strength_mol_per_l=strength)
    # Molar masses differ in the sixth digit, which shows most where hardly any acid is left to hold the pH.
    assert ours == pytest.approx(theirs, abs=1e-3)


@pytest.mark.parametrize(
    ("tartaric", "bitartrate", "lactic", "lactate"),
    [(20, 10, 1, 0), (5, 25, 10, 0), (10, 15, 20, 10), (1, 34, 2, 0), (39, 1, 5, 5), (3, 4, 30, 8)],
)
def test_ph_agrees_with_an_equilibrium_solver(
    tartaric: float, bitartrate: float, lactic: float, lactate: float
) -> None:
    """Acids and their potassium salts in mmol/L, left to come to equilibrium by chempy, have the pH we give."""
    first, second = (10**-pk for pk in constants.pks("tartaric", 0, 0))
    (only,) = (10**-pk for pk in constants.pks("lactic", 0, 0))
    reactions = (
        f"C4H6O6 = C4H5O6- + H+; {first}",
        f"C4H5O6- = C4H4O6-2 + H+; {second}",
        f"C3H6O3 = C3H5O3- + H+; {only}",
        "H2O = H+ + OH-; 1e-14/55.4",
    )
    system = EqSystem.from_string("\n".join(reactions), substance_factory=Substance.from_formula)
    start = {
        "H2O": 55.4,
        "C4H6O6": tartaric / 1000,
        "C4H5O6-": bitartrate / 1000,
        "C3H6O3": lactic / 1000,
        "C3H5O3-": lactate / 1000,
    }
    found, solution, sane = system.root(defaultdict(float, start))
    assert sane and solution["success"]
    theirs = -math.log10(dict(zip(system.substances, found, strict=True))["H+"])
    ours = balance.ph_from_acids(
        bitartrate + lactate,
        (tartaric + bitartrate) * 0.150086,
        0,
        (lactic + lactate) * 0.090078,
        alcohol_percent=0,
        ionic_strength_mol_per_l=0,
    )
    assert ours == pytest.approx(theirs, abs=1e-4)


def test_two_buffers_mixed_share_their_hydrogen() -> None:
    """Tartaric at pH 3.00 and lactic at 3.41 in one glass come to 3.165 (worked by hand from mass action).

    39.204 mmol/L tartaric with K 9.12e-4, 40 mmol/L lactic with K 1.38e-4, 29.132 meq/L of anions; free
    hydrogen is left out of the hand sum, so it goes in with the cations here.
    """
    glass = Wine(
        {"tartaric": 39.204, "lactic": 40.0},
        {"tartaric": (-math.log10(9.12e-4),), "lactic": (-math.log10(1.38e-4),)},
    )
    ph = glass.ph(29.132 - 1000 * 10**-3.1654)
    assert ph == pytest.approx(3.165, abs=0.0005)
    assert 39.204 * glass.charge_of("tartaric", ph) == pytest.approx(22.41, abs=0.005)
    assert 40.0 * glass.charge_of("lactic", ph) == pytest.approx(6.722, abs=0.005)


@pytest.mark.parametrize(
    ("start", "end"), [(3.2, 3.055), (3.5, 3.43), (3.65, 3.609), (3.8, 3.785), (3.9, 3.901), (4.0, 4.017)]
)
def test_other_constants_give_what_a_separate_model_gave(start: float, end: float) -> None:
    """With remembered constants for 12 % alcohol, 1 g/L of bitartrate does what another model worked out."""
    wine = balance.wine_from(*WHITE)
    wine = Wine(
        wine.mmol_per_l,
        {
            "tartaric": (3.22, 4.57),
            "malic": (3.62, 5.27),
            "citric": (3.34, 4.96, 6.60),
            "lactic": (4.09,),
            "acetic": (4.96,),
            "succinic": (4.40, 5.81),
        },
    )
    dropped = 1000 / 188.177
    assert wine.with_more(tartaric=-dropped).ph(wine.cation_excess(start) - dropped) == pytest.approx(
        end, abs=0.001
    )


@given(ACIDS, PH, ALCOHOL, STRENGTH)
def test_cations_and_ph_go_both_ways(
    acids: tuple[float, ...], ph: float, alcohol: float, strength: float
) -> None:
    """The cations worked out from a pH give that pH again."""
    wine = {"alcohol_percent": alcohol, "ionic_strength_mol_per_l": strength}
    cations = balance.cation_excess(ph, *acids, **wine)
    assert balance.ph_from_acids(cations, *acids, **wine) == pytest.approx(ph, abs=1e-6)


@given(ACIDS, st.floats(0, 40), st.floats(0.1, 10))
def test_more_cations_mean_a_higher_ph(acids: tuple[float, ...], cations: float, more: float) -> None:
    """Potassium raises the pH of the same acids."""
    if cations + more > 0.8 * own_balance(9, acids, 12, 0.075):
        return
    assert balance.ph_from_acids(cations + more, *acids) > balance.ph_from_acids(cations, *acids)


@given(ALCOHOL, STRENGTH, ACIDS, st.floats(0.2, 0.6), st.floats(0.1, 1))
def test_bitartrate_drives_the_ph_away_from_the_pivot(
    alcohol: float, strength: float, acids: tuple[float, ...], away: float, dropped: float
) -> None:
    """Below the pivot the pH falls, above it the pH rises, at it nothing moves; the acidity always falls."""
    wine = {"alcohol_percent": alcohol, "ionic_strength_mol_per_l": strength}
    pivot = constants.pivot_ph(alcohol, strength)
    amount = dropped * 0.2 * acids[0]
    below = losses.bitartrate_effect(pivot - away, amount, *acids, **wine)
    above = losses.bitartrate_effect(pivot + away, amount, *acids, **wine)
    at = losses.bitartrate_effect(pivot, amount, *acids, **wine)
    assert below.ph_change < 0 < above.ph_change
    assert at.ph_change == pytest.approx(0, abs=1e-6)
    assert at.direction == "the pH stays"
    for sheet in (below, above, at):
        assert sheet.ta_after_g_per_l < sheet.ta_before_g_per_l
        assert sheet.tartaric_left_g_per_l == pytest.approx(acids[0] - amount * 150.086 / 188.176, rel=1e-4)
    # The short sum for the acidity counts one hydrogen each: at pH 8.2 all but a trace of it is titrated.
    short = acid_losses.ta_after_bitartrate(at.ta_before_g_per_l, amount)
    assert at.ta_after_g_per_l == pytest.approx(short, abs=0.003)
    assert losses.ph_after_bitartrate(pivot - away, amount, *acids, **wine) == below.ph_after


def test_the_worksheet_names_the_direction() -> None:
    """1 g/L of bitartrate from a white: falls at 3.4, rises at 3.9, stays at the pivot."""
    words = [losses.bitartrate_effect(ph, 1, *WHITE).direction for ph in (3.4, constants.pivot_ph(), 3.9)]
    assert words == ["the pH falls", "the pH stays", "the pH rises"]


@given(ACIDS, PH, st.floats(0, 3), st.floats(0, 3))
def test_more_acid_means_a_lower_ph(acids: tuple[float, ...], ph: float, less: float, step: float) -> None:
    """Each acid lowers the pH further the more of it goes in; nothing added changes nothing."""
    assert additions.ph_after_acid(ph, *acids) == pytest.approx(ph, abs=1e-6)
    for acid in ("tartaric", "malic", "citric", "lactic"):
        lighter = additions.ph_after_acid(ph, *acids, **{f"{acid}_added_g_per_l": less})
        heavier = additions.ph_after_acid(ph, *acids, **{f"{acid}_added_g_per_l": less + step})
        assert heavier <= lighter + 1e-8 <= ph + 1e-6


def test_tartaric_is_the_strongest_of_the_acids() -> None:
    """Gram for gram tartaric acid lowers the pH most, lactic least of the four, at wine pH."""
    after = [
        additions.ph_after_acid(3.6, *WHITE, **{f"{acid}_added_g_per_l": 1.0})
        for acid in ("tartaric", "malic", "lactic")
    ]
    assert after == sorted(after)


@given(ACIDS, PH, st.floats(0, 0.3), st.floats(1, 2000))
def test_the_acid_worked_out_reaches_the_ph(
    acids: tuple[float, ...], ph: float, fall: float, volume: float
) -> None:
    """Tartaric acid for a wanted pH, added, gives that pH."""
    target = max(2.9, ph - fall)
    grams = additions.tartaric_for_ph(ph, target, volume, *acids)
    after = additions.ph_after_acid(ph, *acids, tartaric_added_g_per_l=grams / volume)
    assert after == pytest.approx(target, abs=1e-6)


@given(ACIDS, PH, st.floats(0, 0.4), st.floats(1, 2000))
def test_the_bicarbonate_worked_out_reaches_the_ph(
    acids: tuple[float, ...], ph: float, rise: float, volume: float
) -> None:
    """Potassium bicarbonate for a wanted pH, added, gives that pH."""
    grams = additions.potassium_bicarbonate_for_ph(ph, ph + rise, volume, *acids)
    after = additions.ph_after_deacidification(ph, *acids, potassium_bicarbonate_g_per_l=grams / volume)
    assert after == pytest.approx(ph + rise, abs=1e-6)


@given(st.floats(3.0, 3.6), st.floats(0.1, 1))
def test_bicarbonate_then_bitartrate_is_the_same_in_one_step(ph: float, dose: float) -> None:
    """A dose whose potassium all falls is the dose without a fall, and then that much bitartrate dropping."""
    acids = (4.0, 3.0, 0.2, 0.2, 0.2, 0.5)
    once = additions.ph_after_deacidification(
        ph, *acids, potassium_bicarbonate_g_per_l=dose, bitartrate_fall_percent=100
    )
    risen = additions.ph_after_deacidification(ph, *acids, potassium_bicarbonate_g_per_l=dose)
    bitartrate = dose * 188.1763 / 100.1143
    assert losses.ph_after_bitartrate(risen, bitartrate, *acids) == pytest.approx(once, abs=1e-4)


def test_carbonates_are_equal_by_their_potassium() -> None:
    """Half a mole of potassium carbonate does what a mole of bicarbonate does, and calcium left in doubles it."""
    bicarbonate = additions.ph_after_deacidification(3.2, *WHITE, potassium_bicarbonate_g_per_l=1.001143)
    carbonate = additions.ph_after_deacidification(3.2, *WHITE, potassium_carbonate_g_per_l=0.691023)
    calcium = additions.ph_after_deacidification(
        3.2, *WHITE, calcium_carbonate_g_per_l=0.50043, calcium_tartrate_fall_percent=0
    )
    assert carbonate == pytest.approx(bicarbonate, abs=1e-5)
    assert calcium == pytest.approx(bicarbonate, abs=1e-5)


def test_calcium_that_falls_is_tartaric_acid_taken_out() -> None:
    """Calcium carbonate with all calcium tartrate fallen leaves the wine with less tartaric acid, no more cations."""
    after = additions.ph_after_deacidification(3.2, *WHITE, calcium_carbonate_g_per_l=1)
    left = WHITE[0] - 150.086 / 100.086
    wanted = balance.ph_from_acids(balance.cation_excess(3.2, *WHITE), left, *WHITE[1:])
    assert after == pytest.approx(wanted, abs=1e-6)


@given(st.floats(3.0, 3.9), st.floats(0.5, 6), st.floats(0, 100))
def test_malolactic_raises_the_ph_and_lowers_the_acidity(ph: float, malic: float, turned: float) -> None:
    """The more malic acid turns, the higher the pH; the acidity loses what the short sum says."""
    acids = (3.0, malic, 0.1, 0.2, 0.3, 0.5)
    sheet = losses.malolactic_effect(ph, *acids, malic_turned_percent=turned)
    whole = losses.ph_after_malolactic(ph, *acids)
    assert ph - 1e-6 <= sheet.ph_after <= whole + 1e-6
    assert sheet.malic_left_g_per_l == pytest.approx(malic * (1 - turned / 100), abs=1e-9)
    assert sheet.lactic_made_g_per_l == pytest.approx(malic * turned / 100 * 90.078 / 134.087, abs=1e-9)
    short = acid_losses.ta_after_malolactic(sheet.ta_before_g_per_l, malic * turned / 100)
    assert sheet.ta_after_g_per_l == pytest.approx(short, abs=0.005)


@given(ACIDS, PH)
def test_buffering_is_the_slope_of_the_balance(acids: tuple[float, ...], ph: float) -> None:
    """Buffer capacity is the difference of the outside balance over a small step of pH."""
    slope = (own_balance(ph + 1e-4, acids, 12, 0.075) - own_balance(ph - 1e-4, acids, 12, 0.075)) / 2e-4
    assert buffering.buffer_capacity(ph, *acids) == pytest.approx(slope, rel=1e-4)


def test_a_bench_figure_stands_in_for_the_acids() -> None:
    """For a small addition the quick pH from the buffering is the pH of the whole balance."""
    firmness = buffering.buffer_capacity(3.6, *WHITE)
    quick = buffering.ph_after_tartaric_by_buffer(3.6, 0.1, firmness)
    assert quick == pytest.approx(additions.ph_after_acid(3.6, *WHITE, tartaric_added_g_per_l=0.1), abs=0.002)


@given(ACIDS, PH)
def test_a_solver_in_many_unknowns_agrees(acids: tuple[float, ...], ph: float) -> None:
    """Solving for pH and cations together (scipy fsolve) lands on our cations and our pH after tartaric acid."""
    more = (acids[0] + 1, *acids[1:])

    def equations(unknown: list[float]) -> list[float]:
        return [
            own_balance(ph, acids, 12, 0.075) - unknown[0],
            own_balance(unknown[1], more, 12, 0.075) - unknown[0],
        ]

    cations, after = fsolve(equations, [20.0, ph - 0.1])
    assert balance.cation_excess(ph, *acids) == pytest.approx(cations, abs=1e-3)
    assert additions.ph_after_acid(ph, *acids, tartaric_added_g_per_l=1) == pytest.approx(after, abs=1e-5)


def test_the_acidity_of_pure_acids_is_what_was_weighed() -> None:
    """5 g/L of tartaric acid in water titrate as 5 g/L at pH 8.2."""
    ph = balance.ph_from_acids(0, 5, 0, alcohol_percent=0)
    with pytest.raises(OutOfRange, match="at least 2"):
        balance.ta_from_acids(ph, 5, 0, alcohol_percent=0)
    half = balance.ph_from_acids(balance.cation_excess(3.5, 5, 0), 5, 0)
    expected = 5 - balance.cation_excess(3.5, 5, 0) * 0.075043
    assert balance.ta_from_acids(half, 5, 0) == pytest.approx(expected, abs=0.005)
    assert balance.ta_from_acids(3.5, 5, 0, end_point_ph=7) < balance.ta_from_acids(3.5, 5, 0)


@given(st.floats(2.6, 4.6), ALCOHOL, STRENGTH)
def test_the_forms_of_tartaric_acid_are_a_whole(ph: float, alcohol: float, strength: float) -> None:
    """The three forms make up 100 %, and at the pivot there is most bitartrate."""
    forms = constants.tartrate_species(ph, alcohol, strength)
    assert forms.tartaric_acid_percent + forms.bitartrate_percent + forms.tartrate_percent == pytest.approx(
        100
    )
    most = constants.tartrate_species(constants.pivot_ph(alcohol, strength), alcohol, strength)
    assert most.bitartrate_percent >= forms.bitartrate_percent - 1e-9


def test_minerals_make_the_strong_ion_difference() -> None:
    """Each mineral counts by its charge; sulfate and chloride count against (mmol by hand)."""
    whole = balance.strong_ion_difference(390.983, 22.99, 40.078, 24.305, 18.039, 96.056, 35.45)
    assert whole == pytest.approx(10 + 1 + 2 + 2 + 1 - 2 - 1, abs=1e-4)


def test_every_working_names_what_its_formula_names() -> None:
    """What a formula shows as numbers is an input or is worked out with the same inputs."""
    acids = dict(zip(("tartaric_g_per_l", "malic_g_per_l"), (3.0, 2.0), strict=True))
    given_each = {
        "cation_excess": {"ph": 3.4, **acids},
        "ph_from_acids": {"cation_excess_meq_per_l": 20.0, **acids},
        "ta_from_acids": {"ph": 3.4, **acids},
        "tartaric_for_ph": {"ph": 3.6, "target_ph": 3.5, "volume_l": 20.0, **acids},
        "potassium_bicarbonate_for_ph": {"ph": 3.2, "target_ph": 3.3, "volume_l": 20.0, **acids},
        "ph_after_bitartrate": {"ph": 3.4, "bitartrate_g_per_l": 1.0, **acids},
        "ph_after_malolactic": {"ph": 3.4, **acids},
        "ph_after_acid": {"ph": 3.4, "tartaric_added_g_per_l": 1.0, **acids},
        "ph_after_deacidification": {"ph": 3.2, "potassium_bicarbonate_g_per_l": 1.0, **acids},
        "ph_after_tartaric_by_buffer": {"ph": 3.6, "tartaric_added_g_per_l": 1.0},
        "pivot_ph": {"alcohol_percent": 12.0},
        "activity_coefficient": {"ionic_strength_mol_per_l": 0.1},
    }
    for name, inputs in given_each.items():
        sum_ = calculators()[name]
        assert sum_.working is not None
        worked = sum_.working(**inputs)
        assert worked and all(key in sum_.formula for key in worked), name
    # What the working gives makes the result.
    worked = calculators()["tartaric_for_ph"].working(**given_each["tartaric_for_ph"])  # type: ignore[misc]
    by_hand = (worked["cations_before"] - worked["cations_held_at_target"]) / worked["charge_of_tartaric"]
    assert by_hand * 0.150086 * 20 == pytest.approx(additions.tartaric_for_ph(3.6, 3.5, 20, 3, 2), rel=1e-5)


def test_impossible_wines_are_refused_with_the_mend() -> None:
    """Acids that cannot have the pH, drops without tartaric acid, and targets the wrong way say so."""
    with pytest.raises(OutOfRange, match=r"these acids alone give no less than 2\.\d\d"):
        balance.cation_excess(2.5, 0.5, 0.5)
    with pytest.raises(OutOfRange, match="Give at least the tartaric acid"):
        balance.cation_excess(3.4, 0, 0)
    with pytest.raises(OutOfRange, match="Check the dose"):
        balance.ph_from_acids(500, 2, 2)
    with pytest.raises(OutOfRange, match="for at most"):
        losses.ph_after_bitartrate(3.5, 5, *WHITE)
    with pytest.raises(OutOfRange, match=r"only 2\.5"):
        additions.ph_after_deacidification(3.2, *WHITE, calcium_carbonate_g_per_l=3)
    with pytest.raises(OutOfRange, match="Acid only lowers"):
        additions.tartaric_for_ph(3.4, 3.6, 20, *WHITE)
    with pytest.raises(OutOfRange, match="only raises"):
        additions.potassium_bicarbonate_for_ph(3.6, 3.4, 20, *WHITE)
    with pytest.raises(OutOfRange, match="Give 0 for must"):
        constants.pivot_ph(-1)
    with pytest.raises(OutOfRange, match=r"0\.05 to 0\.1"):
        constants.activity_coefficient(2)
    with pytest.raises(OutOfRange, match="Take more wine"):
        buffering.measured_buffer_capacity(20, 0.1, 100, 0.3)
    with pytest.raises(OutOfRange, match="two steps"):
        buffering.ph_after_tartaric_by_buffer(3.5, 6)
    with pytest.raises(OutOfRange, match="are usual"):
        balance.ta_from_acids(3.4, *WHITE, end_point_ph=4)
