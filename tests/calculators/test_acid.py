import pint
import pytest
from chempy import Substance
from diagnose.calculators import OutOfRange
from diagnose.calculators.acid import additions, deacidification, losses, masses, titration, units
from hypothesis import given
from hypothesis import strategies as st

UREG = pint.UnitRegistry()

TA = st.floats(0, 30)
CHANGE = st.floats(0.1, 10)
VOLUME = st.floats(1, 2000)
SHARE = st.floats(0, 100)

PAIRS = [
    (units.ta_to_sulfuric, units.ta_from_sulfuric),
    (units.ta_to_malic, units.ta_from_malic),
    (units.ta_to_citric, units.ta_from_citric),
    (units.ta_to_meq, units.ta_from_meq),
    (units.ta_to_percent, units.ta_from_percent),
]


@pytest.mark.parametrize(
    ("mass", "formula"),
    [
        (masses.TARTARIC, "C4H6O6"),
        (masses.MALIC, "C4H6O5"),
        (masses.CITRIC, "C6H8O7"),
        (masses.LACTIC, "C3H6O3"),
        (masses.ACETIC, "C2H4O2"),
        (masses.SUCCINIC, "C4H6O4"),
        (masses.SULFURIC, "H2SO4"),
        (masses.BITARTRATE, "KC4H5O6"),
        (masses.CALCIUM_CARBONATE, "CaCO3"),
        (masses.POTASSIUM_BICARBONATE, "KHCO3"),
        (masses.POTASSIUM_CARBONATE, "K2CO3"),
        (masses.MAGNESIUM, "Mg"),
        (masses.SODIUM, "Na"),
        (masses.AMMONIUM, "NH4"),
        (masses.SULFATE, "SO4"),
        (masses.CHLORIDE, "Cl"),
    ],
)
def test_molar_masses_are_those_of_the_formulas(mass: float, formula: str) -> None:
    """Every molar mass agrees with an outside reckoning of the formula (chempy), to 0.002 %."""
    assert mass == pytest.approx(Substance.from_formula(formula).mass, rel=2e-5)


@pytest.mark.parametrize(("there", "back"), PAIRS)
@given(ta=TA)
def test_a_conversion_and_its_inverse_lose_nothing(there, back, ta: float) -> None:  # type: ignore[no-untyped-def]
    """An acidity taken to another unit and back is the same acidity."""
    assert back(there(ta)) == pytest.approx(ta, abs=1e-12)


@given(TA)
def test_all_units_agree_with_moles_of_hydrogen(ta: float) -> None:
    """Each unit holds the same moles of acid hydrogen (pint does the units)."""
    sheet = units.ta_in_all_units(ta)
    hydrogen = {
        (amount * UREG.gram / UREG.litre / (molar * UREG.gram / UREG.mole) * protons).to("mmol/L").magnitude
        for amount, molar, protons in (
            (sheet.as_tartaric_g_per_l, 150.086, 2),
            (sheet.as_sulfuric_g_per_l, 98.072, 2),
            (sheet.as_malic_g_per_l, 134.087, 2),
            (sheet.as_citric_g_per_l, 192.123, 3),
        )
    }
    assert all(one == pytest.approx(sheet.meq_per_l, rel=1e-6, abs=1e-9) for one in hydrogen)
    assert sheet.percent == pytest.approx((ta * UREG.gram / UREG.litre).to("g/dL").magnitude)


@given(st.floats(0.1, 30), st.floats(0.05, 0.5), st.floats(1, 50), st.floats(0, 0.1))
def test_the_blank_of_the_water_is_not_counted(
    used: float, strength: float, sample: float, blank: float
) -> None:
    """The water in the flask takes its own share, which is not acid of the wine."""
    with_blank = titration.ta_from_titration(used, strength, sample, blank)
    assert with_blank == pytest.approx(titration.ta_from_titration(used - blank, strength, sample), abs=1e-9)


def test_the_hydroxide_that_was_checked_gives_the_acidity_of_known_acid() -> None:
    """0.4 g of the salt taking 20.5 mL makes 0.0955 mol/L; used on 10 mL of 6 g/L it takes 8.37 mL (by hand)."""
    strength = titration.titrant_strength_from_phthalate(0.4, 20.5)
    assert strength == pytest.approx(0.09555, abs=1e-5)
    assert titration.ta_from_titration(8.368, strength, 10) == pytest.approx(6.0, abs=0.001)


@given(CHANGE, VOLUME)
def test_the_acids_bring_the_same_hydrogen(rise: float, volume: float) -> None:
    """Whichever acid is chosen, the same equivalents go in, and a weaker powder takes more of it."""
    sheet = {line.acid: line.grams for line in additions.acids_for_ta(rise, volume)}
    assert sheet["tartaric"] == pytest.approx(rise * volume)
    equivalents = {
        sheet["tartaric"] / masses.TARTARIC * 2,
        sheet["malic"] / masses.MALIC * 2,
        sheet["citric"] / masses.CITRIC * 3,
        sheet["lactic"] / masses.LACTIC,
    }
    assert max(equivalents) == pytest.approx(min(equivalents))
    assert additions.citric_for_ta(rise, volume, 91.4) > sheet["citric"]
    assert additions.lactic_for_ta(rise, volume, 88) == pytest.approx(sheet["lactic"] / 0.88)
    assert additions.malic_for_ta(rise, volume) == pytest.approx(sheet["malic"])


@given(st.floats(3, 4.5), st.floats(0, 0.4), st.floats(0.1, 0.3), VOLUME)
def test_the_rule_of_thumb_and_its_inverse_agree(ph: float, fall: float, drop: float, volume: float) -> None:
    """The acid that the rule asks for gives the pH that was wanted, by the same rule."""
    grams = additions.tartaric_for_ph_by_rule(ph, ph - fall, volume, drop)
    assert additions.ph_after_tartaric_by_rule(ph, grams / volume, drop) == pytest.approx(ph - fall)


@given(CHANGE, SHARE, VOLUME)
def test_the_dose_worked_out_takes_off_what_was_wanted(fall: float, share: float, volume: float) -> None:
    """Each carbonate, dosed as worked out, lowers the acidity by what was asked for."""
    pairs = (
        (
            deacidification.potassium_bicarbonate_for_ta(fall, volume, share),
            lambda dose: deacidification.ta_drop_by_potassium_bicarbonate(dose, share),
        ),
        (
            deacidification.potassium_carbonate_for_ta(fall, volume, share),
            lambda dose: deacidification.ta_drop_by_potassium_carbonate(dose, share),
        ),
        (
            deacidification.calcium_carbonate_for_ta(fall, volume),
            deacidification.ta_drop_by_calcium_carbonate,
        ),
    )
    for grams, drop in pairs:
        assert drop(grams / volume) == pytest.approx(fall)


@given(CHANGE, VOLUME)
def test_bitartrate_that_falls_halves_the_potassium_salt(fall: float, volume: float) -> None:
    """With all potassium gone as bitartrate half the salt serves; calcium carbonate has no such range."""
    sheet = {line.salt: line for line in deacidification.deacidifiers_for_ta(fall, volume)}
    for salt in ("potassium bicarbonate", "potassium carbonate"):
        assert sheet[salt].most_grams == pytest.approx(2 * sheet[salt].least_grams)
    # One mole of the carbonate brings the potassium of two of the bicarbonate: 138.205 / 2 against 100.115 g.
    ratio = sheet["potassium carbonate"].most_grams / sheet["potassium bicarbonate"].most_grams
    assert ratio == pytest.approx(138.205 / 2 / 100.115, rel=1e-4)
    assert sheet["calcium carbonate"].most_grams == sheet["calcium carbonate"].least_grams


@given(st.floats(6, 20), st.floats(0, 1), VOLUME)
def test_double_salt_blend_reaches_the_target(ta: float, way: float, volume: float) -> None:
    """The treated part at 2 g/L and the rest blend to the target acidity."""
    target = ta - 0.1 - way * (ta - 2.2)
    plan = deacidification.double_salt_plan(ta, target, volume)
    blend = (plan.treated_l * 2 + plan.untreated_l * ta) / volume
    assert blend == pytest.approx(target)
    assert 0 < plan.share_percent <= 100
    # The carbonate is enough for all the acid that leaves the treated part, and no more.
    assert plan.calcium_carbonate_g == pytest.approx(plan.treated_l * (ta - 2) * 100.086 / 150.086, rel=1e-4)


@given(st.floats(0.1, 3))
def test_bitartrate_and_the_acidity_it_takes_go_both_ways(drop: float) -> None:
    """The bitartrate found from a fall of acidity gives that fall again."""
    assert losses.ta_after_bitartrate(10, losses.bitartrate_from_ta_drop(drop)) == pytest.approx(10 - drop)


@given(st.floats(0, 8))
def test_malolactic_takes_half_of_the_acidity_of_the_malic_acid(malic: float) -> None:
    """Malic acid of two hydrogens becomes lactic acid of one, so half its acidity goes."""
    before = units.ta_from_malic(malic)
    assert losses.ta_after_malolactic(before, malic) == pytest.approx(before / 2)


def test_impossible_acidities_are_refused_with_the_mend() -> None:
    """Slips of the unit, drops bigger than the acid and targets the wrong way say what is wrong."""
    with pytest.raises(OutOfRange, match=r"0\.65 % .* is 6\.5 g/L"):
        units.ta_to_meq(650)
    with pytest.raises(OutOfRange, match="at least 0 and at most 10"):
        units.ta_from_percent(65)
    with pytest.raises(OutOfRange, match="50 to 150"):
        units.ta_from_meq(-1)
    with pytest.raises(OutOfRange, match=r"0\.1 N sodium hydroxide is 0\.1"):
        titration.ta_from_titration(8, 100, 10)
    with pytest.raises(OutOfRange, match="less than water"):
        titration.ta_from_titration(0.1, 0.1, 10, 0.2)
    with pytest.raises(OutOfRange, match="Check the grams and the mL"):
        titration.titrant_strength_from_phthalate(400, 20)
    with pytest.raises(OutOfRange, match="monohydrate"):
        additions.citric_for_ta(1, 10, 0)
    with pytest.raises(OutOfRange, match="Acid only lowers"):
        additions.tartaric_for_ph_by_rule(3.4, 3.6, 10)
    with pytest.raises(OutOfRange, match="nearer to the pH now"):
        additions.tartaric_for_ph_by_rule(4.2, 3.4, 10)
    with pytest.raises(OutOfRange, match="not below what the treated part keeps"):
        deacidification.double_salt_plan(10, 1, 20)
    with pytest.raises(OutOfRange, match="no acid here"):
        deacidification.double_salt_share_percent(2, 2)
    with pytest.raises(OutOfRange, match="difference between the acidity wanted"):
        deacidification.calcium_carbonate_for_ta(0, 20)
    with pytest.raises(OutOfRange, match="only 1 g/L"):
        losses.ta_after_bitartrate(1, 5)
    with pytest.raises(OutOfRange, match="The malic acid would take"):
        losses.ta_after_malolactic(1, 5)
