"""The pieces that notes are made of: numbers, lengths, screws, sums and dates, each as it is written and said."""

from datetime import date
from typing import Any

import pytest

from tallyplate.reading.items import Item
from tallyplate.reading.offer import Offer
from tallyplate.reading.scanning import items
from tallyplate.reading.tokens import tokens
from tests.reading.cases import offer


def kinds(text: str, within: Offer | None = None) -> list[Item]:
    return [one for one in items(text, within or offer()) if one.kind not in {"mark", "end"}]


def one(text: str, within: Offer | None = None) -> Any:
    (found,) = kinds(text, within)
    assert (found.start, found.end) == (0, len(text))
    return found.value


@pytest.mark.parametrize(
    ("said", "text"),
    [
        ("1.875 in", "1.875 in"),
        ("1 7/8 in", "1 7/8 in"),
        ("1-7/8 in", "1 7/8 in"),
        ('1-7/8"', "1 7/8 in"),
        ("1½ inch", "1 1/2 in"),
        ("1 ½″", "1 1/2 in"),
        ("five eighths of an inch", "5/8 in"),
        ("three-quarters inch", "3/4 in"),
        ("half an inch", "1/2 in"),
        ("an inch and a half", "1 1/2 in"),
        ("inch and three eighths", "1 3/8 in"),
        ("two and a quarter inches", "2 1/4 in"),
        ("2 inches and a half", "2 1/2 in"),
        ("twenty-four inches", "24 in"),
        ("six hundred mm", "600 mm"),
        ("18mm", "18 mm"),
        ("18-mm", "18 mm"),
        ("0,02 mm", "0.02 mm"),
        (".005 in", "0.005 in"),
        ("a thou", "0.001 in"),
        ("two thou", "0.002 in"),
        ("half a thou", "0.0005 in"),
        ("20 microns", "20 um"),
        ("2''", "2 in"),
        ("two foot", "2 ft"),
    ],
)
def test_lengths_are_read_into_the_strict_grammar(said: str, text: str) -> None:
    assert one(said).text == text


@pytest.mark.parametrize(
    "text",
    ["555-0142", "FP-2416-40", "3D", "A24", "12/0", "10:30", "1/2/26", "24TX", "2026-13-45", "0x18", "600-400-40"],
)
def test_numbers_inside_other_things_are_none(text: str) -> None:
    assert {found.kind for found in kinds(text)} <= {"word", "code"}


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("M12", "M12"),
        ("M 12", "M12"),
        ("m12s", "M12"),
        ("M12x1.75", "M12"),
        ("M12 x 1.75", "M12"),
        ("1/2-13", "1/2-13"),
        ('1/2"-13 UNC', "1/2-13"),
        ("half-thirteen", "1/2-13"),
        ("half inch thirteen", "1/2-13"),
        ("three-eighths sixteen", "3/8-16"),
        ("five eighths eleven", "5/8-11"),
    ],
)
def test_screws_are_read_as_they_are_said(said: str, name: str) -> None:
    assert one(said).name == name


@pytest.mark.parametrize("said", ["M8", "M12x1.25", "1/2-20", "1/2-13 UNF", "quarter twenty"])
def test_screws_that_are_not_on_offer_are_named_as_such(said: str) -> None:
    found = one(said)
    assert found.name is None
    assert found.absent
    assert found.why.endswith("is not on offer")
    assert "M12" in found.choices


@pytest.mark.parametrize("text", ["M12-400", "XM12", "M999", "M1", "M12B", "1/2-13-4", "11/2-13"])
def test_part_numbers_are_no_screws(text: str) -> None:
    assert not any(found.kind == "screw" for found in kinds(text))


@pytest.mark.parametrize(
    ("said", "sum_"),
    [
        ("$4500", "4500 USD"),
        ("$ 4,500", "4500 USD"),
        ("4,500 dollars", "4500 USD"),
        ("4.500 USD", "4500 USD"),
        ("4.500,00 USD", "4500 USD"),
        ("4,500.50 USD", "4500.5 USD"),
        ("USD 12.50", "12.5 USD"),
        ("$4.5k", "4500 USD"),
        ("1,234,567 USD", "1234567 USD"),
    ],
)
def test_sums_are_read_by_the_decimals_of_their_currency(said: str, sum_: str) -> None:
    assert one(said).name == sum_


@pytest.mark.parametrize("said", ["4,50,00 USD", "1.234.56 USD", "45,0000 USD"])
def test_sums_whose_marks_part_nothing_are_left_open(said: str) -> None:
    assert one(said).name is None


def test_dollars_are_the_cards_and_another_currency_is_left_open() -> None:
    here = offer()
    canadian = Offer(here.families, here.shop, "CAD")
    assert one("4500 dollars", canadian).name == "4500 CAD"
    assert one("4500 dollars", canadian).because == "the rate card is in CAD"
    european = Offer(here.families, here.shop, "EUR")
    assert one("4.500,00 EUR", european).name == "4500 EUR"
    assert one("$4500", european).why == "4500 USD is not in the rate card's EUR"


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("2026-04-15", "2026-04-15"),
        ("15 April 2026", "2026-04-15"),
        ("April 15, 2026", "2026-04-15"),
        ("15th of April 2026", "2026-04-15"),
        ("15-Apr-2026", "2026-04-15"),
        ("25/04/2026", "2026-04-25"),
        ("04/25/2026", "2026-04-25"),
        ("04/04/2026", "2026-04-04"),
        ("15.04.2026", "2026-04-15"),
        ("15 April", "2026-04-15"),
        ("1 March", "2027-03-01"),
        ("in two weeks", "2026-03-16"),
        ("within 10 days", "2026-03-12"),
    ],
)
def test_dates_that_can_be_one_day_only_are_that_day(said: str, day: str) -> None:
    assert one(said, offer("2026-03-02")).name == day


@pytest.mark.parametrize("said", ["15 April", "in two weeks"])
def test_a_day_that_hangs_on_the_date_of_the_note_is_open_without_it(said: str) -> None:
    assert one(said).name is None
    assert "date of the note" in one(said).why


def test_day_and_month_that_could_change_places_name_both_days() -> None:
    found = one("03/04/2026")
    assert (found.name, found.choices) == (None, ("2026-04-03", "2026-03-04"))


@pytest.mark.parametrize("said", ["Friday", "next week", "end of March"])
def test_days_without_a_date_are_open(said: str) -> None:
    assert one(said, offer("2026-03-02")).name is None


def test_a_date_that_does_not_exist_is_none() -> None:
    assert not any(found.kind == "date" for found in kinds("2026-02-30"))
    assert date(2028, 2, 29).isoformat() == one("29 February 2028").name


def test_a_full_line_goes_on_and_a_short_one_ends() -> None:
    wrapped = "half-thirteen tapped holes all over the plate, spaced on\ntwo-inch centres"
    assert not any(token.kind == "end" for token in tokens(wrapped))
    assert sum(token.kind == "end" for token in tokens("Material\n6061-T6\nQty 2")) == 2


def test_a_dot_behind_a_shortened_word_ends_no_sentence_unless_a_new_one_begins() -> None:
    assert not any(token.kind == "end" for token in tokens("24 in. long and 1.5 in. thick"))
    assert sum(token.kind == "end" for token in tokens("24 x 16 in. Need three.")) == 2
