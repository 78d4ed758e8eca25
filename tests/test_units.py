"""Quantities are exact, and shown so that rounding never flatters.

Factors checked against NIST SP 811 (2008), appendix B, from memory: 1 in = 25.4 mm, 1 ft = 0.3048 m,
1 lb = 0.45359237 kg, 1 lbf = 4.4482216152605 N, standard gravity 9.80665 m/s2.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cache_check import units
from cache_check.errors import NotReadError

HUNDREDTHS = st.integers(0, 10**7).map(lambda count: Decimal(count) / 100)


@pytest.mark.parametrize(
    ("written", "nanometres"),
    [
        ("1 in", 25_400_000),
        ("1 ft", 304_800_000),
        ("1 mm", 1_000_000),
        ("1.2 m", 1_200_000_000),
        ("12 cm", 120_000_000),
        ("58 1/2 in", 1_485_900_000),
        ("58-1/2 in", 1_485_900_000),
        ("1/64 in", 396_875),
        ("4 ft 10 1/2 in", 1_485_900_000),
        ("4' 10 1/2\"", 1_485_900_000),
        ("4′ 10 1/2″", 1_485_900_000),
        (".5 in", 12_700_000),
        ("62in", 1_574_800_000),
        (" 62 IN ", 1_574_800_000),
    ],
)
def test_lengths_are_whole_nanometres(written: str, nanometres: int) -> None:
    """Every way of writing a length gives the exact nanometres (1 in = 25.4 mm)."""
    assert units.length_nm(written) == nanometres


@pytest.mark.parametrize(
    ("written", "system", "nanometres"),
    [(26.5, "us", 673_100_000), ("26.5", "us", 673_100_000), (863.6, "si", 863_600_000)],
)
def test_a_bare_number_takes_the_unit_of_the_file(written: object, system: units.System, nanometres: int) -> None:
    """26.5 is inches in a US file and 863.6 millimetres in an SI file."""
    assert units.length_nm(written, system) == nanometres


def test_forces_and_masses_are_exact() -> None:
    """Pounds-force and pounds convert by their defined factors, without a float between."""
    assert units.force_n("1 lbf") == Fraction(44482216152605, 10**13)
    assert units.force_n("6 kip") == 6000 * Fraction(44482216152605, 10**13)
    assert units.force_n("5 kN") == 5000
    assert units.force_n(5, "si") == 5000
    assert units.mass_kg("1 lb") == Fraction(45359237, 10**8)
    assert units.weight_n(units.mass_kg("20000 lb")) == units.force_n("20000 lbf")


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("1,500 lbf", "'1,500 lbf' has a comma, which reads as thousands or as a decimal; write it without"),
        (
            "5 kg",
            '\'kg\' is not a unit of force; write a number with lbf, kip, N or kN, for example "6000 lbf" or "5 kN"',
        ),
        ("5", '\'5\' carries no unit; write a number with lbf, kip, N or kN, for example "6000 lbf" or "5 kN"'),
        ("1/0 lbf", "'1/0' divides by zero"),
        (True, 'True is not a force; write a number with lbf, kip, N or kN, for example "6000 lbf" or "5 kN"'),
        (float("nan"), 'nan is not a force; write a number with lbf, kip, N or kN, for example "6000 lbf" or "5 kN"'),
    ],
)
def test_what_is_no_force_is_refused_in_words(written: object, says: str) -> None:
    """A refused force says what is wrong and what would be right."""
    with pytest.raises(NotReadError) as refused:
        units.force_n(written)

    assert str(refused.value) == says


@pytest.mark.parametrize(
    "written", ["", "in", "5 in 3", "5 3 in", "1e3 in", "26.5.5 in", "--5 in", "5 in -3 in", "0x5 in"]
)
def test_what_is_no_length_is_refused(written: str) -> None:
    """Half a length, two numbers or an exponent are never read as something else."""
    with pytest.raises(NotReadError):
        units.length_nm(written)


def test_a_length_finer_than_a_nanometre_is_rounded_to_the_safe_side() -> None:
    """1/128 in is 198,437.5 nm: up unless down is the safe side, as for an open length."""
    assert units.length_nm("1/128 in") == 198_438
    assert units.length_nm("1/128 in", rounding="down") == 198_437


@given(inches=HUNDREDTHS)
def test_inches_and_millimetres_meet_exactly(inches: Decimal) -> None:
    """A length in inches is the same number of nanometres as 25.4 times as many millimetres."""
    assert units.length_nm(f"{inches} in") == units.length_nm(f"{inches * Decimal('25.4')} mm")


@given(feet=st.integers(0, 99), inches=st.integers(0, 11), sixty_fourths=st.integers(0, 63))
def test_feet_inches_and_fractions_add_up(feet: int, inches: int, sixty_fourths: int) -> None:
    """Feet, inches and sixty-fourths add to the same as all of it in sixty-fourths of an inch."""
    total = (feet * 12 + inches) * 64 + sixty_fourths

    assert units.length_nm(f"{feet} ft {inches} {sixty_fourths}/64 in") == units.length_nm(f"{total}/64 in")


@given(one=HUNDREDTHS, two=HUNDREDTHS)
def test_sums_at_a_limit_are_exact(one: Decimal, two: Decimal) -> None:
    """Two lengths that add to a limit meet it exactly, in whichever unit the limit is written."""
    limit = units.length_nm(f"{(one + two) * Decimal('25.4')} mm")

    assert units.length_nm(f"{one} in") + units.length_nm(f"{two} in") == limit


@given(nanometres=st.integers(0, 10**11), system=st.sampled_from(["us", "si"]))
def test_rounding_keeps_to_its_side(nanometres: int, system: units.System) -> None:
    """A length rounded up is never shorter than it is, and one rounded down never longer."""
    up = units.in_shown_unit(nanometres, "length", system, "up")
    down = units.in_shown_unit(nanometres, "length", system, "down")
    exact = Fraction(nanometres, 25_400_000 if system == "us" else 1_000_000)

    assert down <= exact <= up
    assert up - down in (0, Fraction(1, 10 if system == "us" else 1))


@given(tenths=st.integers(0, 10**5))
def test_what_is_shown_reads_back(tenths: int) -> None:
    """A length that needs no rounding is shown as text that reads back to the same length."""
    length = units.length_nm(f"{Decimal(tenths) / 10} in")

    assert units.length_nm(units.show(length, "length", "us", "nearest").replace(",", "")) == length


def test_numbers_are_shown_as_people_read_them() -> None:
    """Inches to a tenth, whole millimetres, whole pounds-force and kilonewtons to a hundredth."""
    length = units.length_nm("58.46 in")

    assert units.show(length, "length", "us", "down") == "58.4 in"
    assert units.show(length, "length", "us", "up") == "58.5 in"
    assert units.show(length, "length", "si", "up") == "1,485 mm"
    assert units.show(units.force_n("12000 lbf"), "force", "us", "down") == "12,000 lbf"
    assert units.show(units.force_n("12000 lbf"), "force", "si", "down") == "53.37 kN"
    assert units.show(units.mass_kg("13 lb"), "mass", "us", "up", unit=False) == "13.0"


def test_a_quantity_too_long_is_refused_in_words() -> None:
    """Five thousand digits are more than Python makes a whole number of; the line repeats only their beginning."""
    with pytest.raises(NotReadError, match=r"^'1{20} \.\.\.' is too long for a quantity; check it$"):
        units.length_nm("1" * 5000 + " in")
