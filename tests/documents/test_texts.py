"""Texts made fit to be shown."""

from decimal import Decimal
from unicodedata import category

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.documents.texts import grouped, printable, shortened, signed, width

ANY = st.text(alphabet=st.characters(), max_size=120)


@given(ANY)
def test_what_is_printable_is_one_line_without_control_characters(text: str) -> None:
    made = printable(text)
    assert not [sign for sign in made if category(sign).startswith("C")]
    assert made.encode("utf-8").decode("utf-8") == made
    assert printable(made) == made


@pytest.mark.parametrize(
    ("text", "made"),
    [
        ("plain text", "plain text"),
        ("two\nlines\tand a tab", "two lines and a tab"),
        ("bell\a, escape\x1b[31m, nul\0", "bell, escape[31m, nul"),
        ("turned \u202eround\u202c", "turned round"),
        ("half \ud800", "half"),
        ("\u00dcberma\u00df \u677f", "\u00dcberma\u00df \u677f"),
    ],
)
def test_only_what_cannot_be_printed_is_dropped(text: str, made: str) -> None:
    assert printable(text) == made


@given(ANY, st.integers(1, 80))
def test_a_shortened_text_fits_its_room_and_keeps_both_ends(text: str, room: int) -> None:
    made, whole = shortened(text, room), printable(text)
    assert width(made) <= room
    head, cut, tail = made.partition("\u2026")
    if cut and cut not in whole:
        assert whole.startswith(head)
        assert whole.endswith(tail)
        assert width(whole) > room
    elif width(whole) <= room:
        assert made == whole


def test_a_path_too_long_loses_its_middle() -> None:
    assert shortened("materials.al-6061-t6.stock.plate.thicknesses.14", 24) == "materials.al\u2026cknesses.14"


@pytest.mark.parametrize(
    ("amount", "plain", "change"),
    [
        ("1234567.80", "1,234,567.80", "+1,234,567.80"),
        ("-1234.5", "\u22121,234.5", "\u22121,234.5"),
        ("0.00", "0.00", "0.00"),
        ("-0.00", "\u22120.00", "0.00"),
        ("1E+3", "1,000", "+1,000"),
    ],
)
def test_amounts_are_grouped_and_keep_every_decimal(amount: str, plain: str, change: str) -> None:
    assert grouped(Decimal(amount)) == plain
    assert signed(Decimal(amount)) == change
