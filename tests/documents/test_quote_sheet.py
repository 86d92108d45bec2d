"""The quote sheet: what a buyer reads, in the reader's conventions, and nothing that a caller's text could break."""

import re
from decimal import Decimal
from html.parser import HTMLParser
from typing import Any

import pytest

from tallyplate.documents.quote_options import SheetOptions
from tallyplate.documents.quote_sheet import writing
from tallyplate.documents.quote_words import answer, facts
from tests.documents.quote_examples import ARABIC, CONTROL, FULL, LONG, MARKUP, TEMPLATE, full, hostile, sheet, within
from tests.plates import MINIMAL, installation
from tests.quote.quotes import CUSTOMER, made

PLATES: dict[str, dict[str, Any]] = {
    "rectangular": MINIMAL["plate"],
    "round": {"family": "round", "diameter": "400 mm", "material": "al-6061-t6"},
    "tombstone": {
        "family": "tombstone", "faces": 4, "face_width": "250 mm", "height": "450 mm", "material": "steel-1018",
    },
}  # fmt: skip
VOID = {"meta", "br", "circle", "rect", "img", "line", "path"}


class Read(HTMLParser):
    """The texts of a page in order, its elements, and whether they close in order."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self._open: list[str] = []
        self.feed(page)
        self.close()
        assert self._open == []

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: Any) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self._open and self._open[-1] != "style" and data.strip():
            self.texts.append(" ".join(data.split()))

    @property
    def text(self) -> str:
        return "\n".join(self.texts)


def _words(page: str) -> str:
    return Read(page).text


def test_a_sheet_is_one_whole_page_that_loads_and_runs_nothing() -> None:
    page = sheet(full())
    assert page.startswith("<!doctype html>")
    found = Read(page)
    assert not {"script", "link", "iframe", "object", "form", "a", "img"} & {tag for tag, _ in found.elements}
    assert not [name for _, attributes in found.elements for name in attributes if name in {"src", "href"}]
    assert not re.search(r"url\(|@import|https?://(?!www\.w3\.org/2000/svg)", page)


def test_every_fact_that_binds_stands_on_the_sheet() -> None:
    quote = full().quote
    text = _words(sheet(full()))
    said = [
        "Harrow & Pell Fixture Works", "Brackwater Valve", "Ms. Ingrid Halvorsen", "United States", quote.number,
        "RFQ 2026-118", "March 2, 2026", "April 1, 2026", "Q-7K3M-9XQ2-HV4D", quote.title, "By road to Toledo",
        "Sales tax 6.75 %", "120.50", "310.00", "4,200.00", "4,630.50", "Thank you for your enquiry.",
        quote.terms.payment, quote.terms.delivery, *quote.terms.clauses, *(one.message for one in quote.findings),
        *(line.item for line in quote.lines), *(one.why for one in quote.assumed),
    ]  # fmt: skip
    assert [one for one in said if one not in text] == []
    for line in (*quote.lines, *quote.adjustments):
        assert f"{Decimal(line.amount):,}".replace("-", "\u2212") in text
    for price in quote.quantity_prices:
        assert f"{Decimal(price.total):,}" in text
        assert f"{Decimal(price.unit_price):,}" in text


def test_a_customers_sheet_shows_no_figure_of_the_inside() -> None:
    quoted = full()
    text = _words(sheet(quoted))
    costs = {line.amount for line in quoted.price.lines} | set(quoted.price.hours.values())
    shown = set(re.findall(r"\d[\d,]*\.\d+", text))
    assert not {f"{Decimal(cost):,}" for cost in costs} & shown
    assert "new line" not in text
    assert "Inside" not in text


def test_the_house_sees_cost_by_line_hours_and_what_is_left() -> None:
    quoted = full()
    found = within(quoted)
    assert Decimal(found.cost) + Decimal(found.left) == Decimal(quoted.quote.total)
    kept = [line for line in quoted.price.lines if line.module not in {"margin", "minimum"}]
    assert sum(Decimal(line.amount) for line in kept) == Decimal(found.cost)
    text = _words(sheet(quoted, within=found))
    assert "Inside: not for the customer" in text
    assert f"{Decimal(found.left):,}" in text
    assert "first order of a new line" in text
    for line in kept:
        assert line.item in text
    for center, hours in quoted.price.hours.items():
        assert f"{center}\n{hours}" in text


def test_without_a_total_nothing_is_said_in_percent() -> None:
    given = full(override={"total": "0 USD", "by": "R. Pell", "why": "a gift"})
    assert within(given).percent == ""
    assert "% of the total" not in _words(sheet(given, within=within(given)))


@pytest.mark.parametrize(
    ("country", "options", "says"),
    [
        ("US", SheetOptions(), ["USD 2,302.10", "March 2, 2026", "75.0 lb (34.0 kg)", "size: letter"]),
        ("DE", SheetOptions(), ["2.302,10 USD", "2 March 2026", "34,0 kg", "size: A4", "\u00d8 0,03 mm"]),
        ("US", SheetOptions(conventions="european"), ["2.302,10 USD", "size: A4"]),
        ("DE", SheetOptions(conventions="american", paper="A4"), ["USD 2,302.10", "size: A4"]),
        ("DE", SheetOptions(unit="in"), ["\u00d8 0,0012 in", "2.302,10 USD"]),
    ],
)
def test_numbers_dates_paper_and_lengths_follow_the_reader(
    country: str, options: SheetOptions, says: list[str]
) -> None:
    page = sheet(made({"customer": {**CUSTOMER, "country": country}}), options)
    assert [one for one in says if one not in page] == []


def test_without_the_customers_country_the_sellers_counts() -> None:
    assert writing(made({"customer": {"name": "B"}}).quote, SheetOptions()).locale == "en_US"


def test_lengths_stand_in_the_unit_that_was_asked_in() -> None:
    inches = made(
        changes={"/plate": {"family": "rectangular", "length": "24 in", "width": "16 in", "material": "al-5083"}}
    )
    assert writing(inches.quote, SheetOptions()).measure.unit == "in"
    assert writing(made().quote, SheetOptions()).measure.unit == "mm"


def test_the_plate_is_told_in_words() -> None:
    quoted = made()
    told = dict(facts(quoted.builds[0], quoted.shop, writing(quoted.quote, SheetOptions())))
    assert told["Holes"] == "103 combination M12 with hardened bushings; 103 tapped M12"
    assert told["Hole position"] == "within \u00d8 0.03 mm over the plate"
    assert told["Mounting"].startswith("T-slots 18 mm, 100 mm apart; located by pins; 6 mounting holes")
    assert told["Engraved"] == "coordinates along bottom and left"
    assert told["Supplied with each"].startswith("6 socket head cap screw M16, 6 T-nut M16")


@pytest.mark.parametrize(
    ("pointer", "value", "said"),
    [
        ("/plate/pattern/bushings", True, ("Pattern, bushings", "yes")),
        ("/plate/mounting/surface", "t_slots", ("Mounting, surface", "T-slots")),
        ("/plate/mounting/locate", "retractable_pins", ("Mounting, locate", "retractable pins")),
        ("/plate/marking/edges", ["left", "bottom"], ("Marking, edges", "left and bottom")),
        ("/plate/marking/edges", [], ("Marking, edges", "none")),
        ("/quantity", 1, ("Quantity", "1")),
    ],
)
def test_assumed_answers_are_told_in_words(pointer: str, value: Any, said: tuple[str, str]) -> None:
    assert answer(pointer, value) == said


def test_no_text_of_a_caller_becomes_markup_or_template() -> None:
    page = sheet(hostile())
    found = Read(page)
    assert not {"script", "img", "b"} & {tag for tag, _ in found.elements}
    assert MARKUP in found.text
    assert TEMPLATE in found.text
    assert "</td></table></style>" in found.text
    assert "&amp;<!--" in found.text


def test_no_control_character_or_turning_mark_reaches_the_page() -> None:
    page = sheet(hostile())
    assert not [sign for sign in CONTROL + "\u202e\u202c\u2066" if sign in page and not sign.isprintable()]
    assert "evil" in page


def test_texts_that_read_from_right_to_left_stand_apart() -> None:
    assert f"<bdi>{ARABIC}</bdi>" in sheet(hostile())


def test_long_words_are_broken_rather_than_let_out_of_their_column() -> None:
    page = sheet(hostile())
    assert f"<bdi>{LONG}</bdi>" in page
    assert "overflow-wrap: anywhere" in page


@pytest.mark.parametrize("plate", PLATES.values(), ids=PLATES)
def test_every_family_has_a_sheet(plate: dict[str, Any]) -> None:
    page = sheet(made(changes={"/plate": plate, "/quantity": 1}))
    text = _words(page)
    assert installation().families[plate["family"]].title in text
    assert "<svg" in page
    assert "Price of 1 plate" in text
    assert ("Working faces\n4" in text) is (plate["family"] == "tombstone")


def test_a_sheet_says_what_is_not_included() -> None:
    assert "Freight and tax are not included." in _words(sheet(made()))
    assert "Tax is not included." in _words(sheet(made({"freight": FULL["freight"]})))
    assert "not included" not in _words(sheet(full()))
