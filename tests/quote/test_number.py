"""Numbers: derived from all that a quote says."""

import re
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.quote.number import ALPHABET, numbered
from tallyplate.quote.particulars import NUMBER_PATTERN
from tests.quote.quotes import made


def test_the_same_quote_made_twice_has_the_same_number() -> None:
    assert made().quote.number == made().quote.number


@pytest.mark.parametrize(
    "says",
    [
        {"customer": {"name": "Brackwater Valves"}},
        {"reference": "RFQ 1"},
        {"freight": {"amount": "0.01 USD", "words": "by road"}},
        {"issued_on": "2026-03-03"},
        {"valid_until": "2026-03-31"},
        {"replaces": "Q-0000-0000-0000"},
    ],
)
def test_whatever_a_quote_says_its_number_depends_on(says: dict[str, Any]) -> None:
    assert made(says).quote.number != made().quote.number


def test_a_cent_makes_another_number_and_a_number_does_not_depend_on_itself() -> None:
    quote = made().quote
    assert numbered(replace(quote, number="Q-ZZZZ-ZZZZ-ZZZZ")).number == quote.number
    assert numbered(replace(quote, total="4604.21")).number != quote.number


def test_numbers_have_the_form_that_a_revision_names_them_by() -> None:
    assert re.fullmatch(NUMBER_PATTERN, made().quote.number)
    assert len(set(ALPHABET)) == 32
    assert not set("ILOU") & set(ALPHABET)
    assert all(re.fullmatch(NUMBER_PATTERN, f"Q-{sign * 4}-{sign * 4}-{sign * 4}") for sign in ALPHABET)
