"""Text to SI: what is a length, what is a figure, and what neither a caller nor a card may write."""

import pickle
import re
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction

import pytest

from tallyplate import units
from tallyplate.units import LENGTH_PATTERN, LENGTH_UNITS, LONGEST_MM, SHORTEST_MM, UnitError, exact, length

LENGTHS: dict[str, Fraction] = {
    # An inch is 25.4 mm and a foot 304.8 mm by definition (International yard and pound agreement of 1959, from
    # memory); the rest are the prefixes of the SI.
    "600 mm": Fraction(600),
    "600mm": Fraction(600),
    "0600 mm": Fraction(600),
    "600.000000001 mm": Fraction("600.000000001"),
    "23.622 in": Fraction("23.622") * Fraction("25.4"),
    "5/8 in": Fraction(5, 8) * Fraction("25.4"),
    "1 7/8 in": Fraction(15, 8) * Fraction("25.4"),
    "1 7/8in": Fraction(15, 8) * Fraction("25.4"),
    "10/4 mm": Fraction(5, 2),
    "1/3 mm": Fraction(1, 3),
    "0.1 mm": Fraction(1, 10),
    "0.1 um": Fraction(1, 10_000),
    "2.5 cm": Fraction(25),
    "100 m": Fraction(100_000),
    "1 ft": Fraction("304.8"),
    "000000001 mm": Fraction(1),
    "999999/999999 in": Fraction("25.4"),
    "0 1/2 in": Fraction("12.7"),
}

NO_LENGTHS = (
    "", " ", "mm", "600", "600 ", " 600 mm", "600 mm ", "600  mm", "600\tmm", "600\u00a0mm", "600 mm\n", "600\nmm",
    "600 MM", "600 Mm", "600 yd", "600 mil", "600 km", "600 nm", "600 pt", "600 inch", '24"', "24''", "600 m m",
    "-600 mm", "+600 mm", "--6 mm", ".5 mm", "5. mm", "1.2.3 mm", "1,5 mm", "1_000 mm", "1e3 mm", "1E-3 mm",
    "0x10 mm", "nan mm", "inf mm", "NaN", "Infinity mm", "\u0663 mm", "\uff16\uff10\uff10 mm", "600 \u338e",
    "\u00bd in", "1\u20448 in", "1/0 in", "1/ in", "/8 in", "1/-8 in", "1 1/8.5 in", "1.5 1/8 in", "1-1/8 in",
    "1/2/3 in", "1 1 1/8 in", "2**3 in", "9**9**9 in", "10**10**10 in", "(600) mm", "600*1 mm", "600 mm + 1 mm",
    "600 mm * 2", "600 mm^1", "600 mm**1", "__import__ mm", "{0} mm", "%s mm", "600\0 mm", "\ud800 mm", "1234567890 mm",
    "1.1234567890 mm", "1234567/8 in", "1/1234567 in", "600 mm" + " " * 26 + "x", "6" * 20_000 + " mm",
    "m" * 20_000, "600 " + "m" * 20_000, "1 " * 10_000 + "mm",
)  # fmt: skip


@pytest.mark.parametrize(("text", "millimetres"), LENGTHS.items())
def test_a_length_is_the_float_nearest_to_what_it_says(text: str, millimetres: Fraction) -> None:
    assert float(length(text)) == float(millimetres)


@pytest.mark.parametrize("text", NO_LENGTHS, ids=lambda text: repr(text)[:40])
def test_anything_else_is_no_length_and_the_message_says_what_is(text: str) -> None:
    with pytest.raises(UnitError, match=r'such as "600 mm"') as raised:
        length(text)
    assert len(str(raised.value)) < 300


@pytest.mark.parametrize(
    ("last", "beyond"),
    [
        ("0.0001 mm", "0.000099999 mm"),
        ("0.1 um", "0.099999999 um"),
        ("100000 mm", "100000.000000001 mm"),
        ("100 m", "100.000000001 m"),
        ("328 1/12 ft", "328 1/11 ft"),
        ("1 um", "0 um"),
    ],
)
def test_a_length_lies_between_a_tenth_of_a_micrometre_and_a_hundred_metres(last: str, beyond: str) -> None:
    assert float(SHORTEST_MM) <= length(last) <= float(LONGEST_MM)
    with pytest.raises(UnitError, match=r"out of range; a length lies between 0.0001 mm and 100 m"):
        length(beyond)


@pytest.mark.parametrize("text", [*LENGTHS, *NO_LENGTHS, "0 mm", "999999999 m"], ids=lambda text: repr(text)[:40])
def test_the_published_pattern_is_the_grammar(text: str) -> None:
    # In ECMA-262, the dialect of JSON Schema, `$` does not match before a trailing newline.
    published = re.fullmatch(LENGTH_PATTERN.removeprefix("^").removesuffix("$"), text) is not None
    try:
        length(text)
        ours = True
    except UnitError as error:
        ours = "out of range" in str(error) or "divides by zero" in str(error)
    assert ours == (published and len(text) <= units.MAX_TEXT)


def test_the_pattern_and_the_list_of_units_agree() -> None:
    for unit in LENGTH_UNITS:
        assert re.search(LENGTH_PATTERN, f"1 {unit}")
        assert float(length(f"1 {unit}")) > 0
    assert LENGTH_PATTERN.endswith(f"({'|'.join(LENGTH_UNITS)})$")


def test_a_length_remembers_how_it_was_written() -> None:
    written = length("1 7/8 in")
    assert (str(written), written.text, repr(written)) == ("1 7/8 in", "1 7/8 in", "Length('1 7/8 in')")
    received = pickle.loads(pickle.dumps(written))  # noqa: S301 - made on the line itself
    assert (received, received.text) == (written, written.text)
    assert length("47.625 mm") == written


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("9.40 USD/kg", "USD/kg", "9.40"),
        ("9.40 USD/lb", "USD/kg", Fraction(940, 100) / Fraction("0.45359237")),
        ("1.60 USD/min", "USD/h", "96"),
        ("90 m/min", "mm/s", "1500"),
        ("350 ft/min", "mm/s", "1778"),
        ("2700 kg/m3", "kg/mm**3", Fraction(2700, 10**9)),
        ("2700 kg/m^3", "kg/mm**3", Fraction(2700, 10**9)),
        ("600 cm^3/min", "mm**3/s", "10000"),
        ("69 GPa", "N/mm**2", "69000"),
        ("23.6 um/m/K", "1/K", Fraction(236, 10**7)),
        ("0.007 in/rev", "mm", "0.1778"),
        ("10000 rev/min", "rev/s", Fraction(500, 3)),
        ("14 h/day", "h/day", "14"),
        ("118 deg", "deg", "118"),
        ("12 %", "", "0.12"),
        ("0.12", "", "0.12"),
        ("0 USD", "USD", "0"),
    ],
)
def test_a_written_figure_is_converted_exactly(text: str, unit: str, value: str | Fraction) -> None:
    assert exact(text, unit) == Fraction(value)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("9.40 USD/m", "USD/kg"), ("9.40 USD", "USD/kg"), ("9.40", "USD/kg"), ("9.40 kg/USD", "USD/kg"),
        ("9.40 EUR/kg", "USD/kg"), ("90 m", "mm/s"), ("90 m/min2", "mm/s"), ("2660 kg/m2", "kg/mm**3"),
        ("2660 kg/m", "kg/mm**3"), ("5 mm", ""), ("5 s", "mm"),
    ],
)  # fmt: skip
def test_a_figure_of_another_dimension_is_refused_with_both(text: str, unit: str) -> None:
    with pytest.raises(UnitError) as raised:
        exact(text, unit)
    assert repr(text) in str(raised.value)
    assert f"expected a figure in {unit or '%'}" in str(raised.value)


@pytest.mark.parametrize(
    "text",
    ["", " ", "USD/kg", "-1 USD/kg", "1e3 USD/kg", "1,5 USD/kg", "nan USD/kg", "inf USD/kg", "1 parsec/kg",
     "1 USD / kg", "1  USD/kg", "1 USD/kg ", "1 USD/kg\n", "1.5.1 USD/kg", "0x1 USD/kg", "1 USD/kg + 1", "1 (USD)/kg",
     "1 USD//kg", "1 USD/", "1 USD*", "1 *USD", "9**9**9 USD/kg", "1 " + "USD" * 20_000, "9" * 20_000 + " USD/kg",
     "1 dogecoin/kg", "1 degC", "1 USD/0", "1 USD**kg"],
    ids=lambda text: repr(text)[:40],
)  # fmt: skip
def test_a_text_that_is_no_figure_is_refused_whatever_it_is(text: str) -> None:
    with pytest.raises(UnitError) as raised:
        exact(text, "USD/kg")
    assert "USD/kg" in str(raised.value)
    assert len(str(raised.value)) < 300


@pytest.mark.parametrize("text", ["1 %^999999999", "1 %**9**9**9", "1 in^99999999/m^99999999"])
def test_a_tower_of_exponents_is_refused_and_never_computed(text: str) -> None:
    # In a process of its own, since what would compute it could not be interrupted.
    command = [sys.executable, "-c", "import sys; from tallyplate.units import exact; exact(sys.argv[1], '')", text]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=15)
    assert "UnitError" in done.stderr


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [(40.0, 3, "40"), (43.180, 3, "43.18"), (0.0, 3, "0"), (1 / 3, 3, "0.333"), (100.0, 0, "100"), (99.9996, 3, "100")],
)
def test_a_figure_for_people_has_no_idle_zeros(value: float, places: int, text: str) -> None:
    assert units.decimal_text(value, places) == text
    assert abs(Decimal(text) - Decimal(value)) <= Decimal(10) ** -places


@pytest.mark.parametrize(
    ("value", "other", "text"),
    [(3.5, 4.0, "3.5"), (3.99951, 4.0, "3.9995"), (3.999998, 4.0, "3.999998"), (4.0, 4.0, "4"), (1 / 3, 0.33, "0.333")],
)
def test_a_figure_that_misses_a_limit_never_reads_like_it(value: float, other: float, text: str) -> None:
    assert units.unlike(value, other, 2) == text


def test_what_is_counted_is_one_or_several() -> None:
    assert [units.counted(number, "hole") for number in (0, 1, 2)] == ["0 holes", "1 hole", "2 holes"]
    assert [units.counted(number, "pass", "passes") for number in (1, 12)] == ["1 pass", "12 passes"]
