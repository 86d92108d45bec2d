"""The quote sheet: what a buyer reads, in the reader's conventions, and nothing that a caller's text could break."""

import re
from decimal import Decimal
from html.parser import HTMLParser
from typing import Any

import pytest

from tallyplate.documents.quote_answers import answers
from tallyplate.documents.quote_asked import stated
from tallyplate.documents.quote_options import SheetOptions
from tallyplate.documents.quote_sheet import writing
from tallyplate.documents.quote_words import answer, facts
from tallyplate.quoting import Quoted
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
GIVEN: dict[str, dict[str, Any]] = {
    "rectangular": {
        "family": "rectangular", "length": "613 mm", "width": "407 mm", "thickness": "41 mm", "material": "al-6061-t6",
        "pattern": {
            "arrangement": "combination", "pitch": "51 mm", "screw": "M12", "margin": "52 mm", "pitch_across": "53 mm",
            "columns_left_out": [2, 4], "rows_left_out": [3],
        },
        "position_tolerance": "0.045 mm", "flatness": "0.055 mm", "finish": "anodized",
        "features": [
            {"feature": "bore", "diameter": "81 mm"},
            {"feature": "bolt_circle", "kind": "tapped", "screw": "M10", "depth": "26 mm", "circle": "122 mm",
             "count": 5, "start_angle": 31},
            {"feature": "pocket", "at": {"x": "151 mm", "y": "311 mm"}, "length": "123 mm", "width": "61 mm",
             "depth": "12.5 mm", "corner_radius": "8.5 mm"},
            {"feature": "slot", "start": {"x": "531 mm", "y": "152 mm"}, "end": {"x": "532 mm", "y": "252 mm"},
             "width": "16.5 mm"},
            {"feature": "cut_out", "at": {"x": "451 mm", "y": "101 mm"}, "diameter": "43 mm"},
            {"feature": "keep_out", "at": {"x": "101 mm", "y": "102 mm"}, "length": "44 mm", "width": "45 mm"},
        ],
        "corner_radius": "9.5 mm", "edge_chamfer": "1.5 mm", "lifting_holes": "two", "lifting_screw": "M16",
        "lifting_eyes": True, "mounting": {"surface": "none"}, "material_supplied": True,
    },
    "round": {
        "family": "round", "diameter": "413 mm", "thickness": "42 mm", "material": "al-6061-t6",
        "centre_bore": "63 mm", "bolt_circles": [{"diameter": "351 mm", "count": 7, "screw": "M10", "kind": "holding"}],
        "pattern": {"pitch": "43 mm", "screw": "M12", "margin": "44 mm"},
    },
    "tombstone": {
        "family": "tombstone", "faces": 4, "face_width": "253 mm", "height": "457 mm", "material": "al-6061-t6",
        "hollow": True, "wall": "46 mm", "base": {"overhang": "51 mm", "thickness": "43 mm", "screw": "M16"},
        "pattern": {"pitch": "37 mm", "screw": "M12"}, "lifting_screw": "M10",
    },
    "rework": {
        "family": "rework", "length": "613 mm", "width": "407 mm", "thickness": "41 mm", "material": "al-6061-t6",
        "holes": [{"kind": "tapped", "at":
                   [{"x": "43 mm", "y": "44 mm"}, {"x": "83 mm", "y": "45 mm"}], "screw": "M10"},
                  {"kind": "locating", "screw": "M12", "at": [{"x": "123 mm", "y": "46 mm"}]}],
        "bushings": [{"screw": "M16", "count": 8}], "marking": {"text": "FX-1042 24 in"},
    },
}  # fmt: skip
TOLD: dict[str, dict[str, str]] = {
    "rectangular": {
        "Bore": "\u00d8 81 mm, in the middle of the plate",
        "Bolt circle": "5 holes, tapped, screw M10, on a circle of \u00d8 122 mm, 26 mm deep, the first at 31\u00b0, "
        "about the middle of the plate",
        "Pocket": "123 x 61 mm, 12.5 mm deep, at (x 151, y 311) mm, corner radius 8.5 mm",
        "Slot": "from (x 531, y 152) mm, to (x 532, y 252) mm, width 16.5 mm, through",
        "Cut-out": "\u00d8 43 mm, at (x 451, y 101) mm",
        "Kept free of holes": "44 x 45 mm, at (x 101, y 102) mm",
        "Corner radius": "9.5 mm",
        "Edge chamfer": "1.5 mm",
        "Mounting": "none",
        "Material supplied by the customer": "yes",
        "Supplied with each": "2 lifting eye bolts M16",
    },
    "round": {
        "Centre bore": "63 mm",
        "Bolt circle": "7 holes, counterbored to hold the plate, screw M10, on a circle of \u00d8 351 mm",
    },
    "tombstone": {
        "Working faces": "4",
        "Width of a face": "253 mm",
        "Engraved": "coordinates along bottom and left of each face",
        "Made from": "stock or a casting, whichever costs less",
    },
    "rework": {
        "Holes": "2 tapped holes M10; 1 locating hole M12 with hardened bushings \u00d8 16 mm",
        "Bushings replaced": "8 press-fit bushings M16",
        "Engraved": "no coordinates",
        "Engraved text": "FX-1042 24 in, along top",
    },
}
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
        ("DE", SheetOptions(), ["2 302.10 USD", "2 March 2026", "34.0 kg", "size: A4", "\u00d8 0.03 mm"]),
        ("US", SheetOptions(conventions="european"), ["2 302.10 USD", "size: A4"]),
        ("DE", SheetOptions(conventions="american", paper="A4"), ["USD 2,302.10", "size: A4"]),
        ("DE", SheetOptions(unit="in"), ["\u00d8 0.00118 in", "2 302.10 USD", "pitch 1.378 in (35 mm)"]),
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
    told = _told(quoted)
    assert told["Size"] == "700 x 450 x 40 mm"
    assert told["Pattern"].startswith(
        "alternating (combination and tapped holes in turn), screw M12, pitch 35 mm, margin of at least 35 mm"
    )
    assert told["Holes"] == "103 combination holes M12 with hardened bushings \u00d8 16 mm; 103 tapped holes M12"
    assert told["Hole position"] == "within \u00d8 0.03 mm over the plate"
    assert told["Mounting"] == (
        "T-slots 18 mm, 100 mm apart; located by pins; held by M16 screws; 6 mounting holes \u00d8 17.5 mm; "
        "2 pin holes \u00d8 20 mm"
    )
    assert told["Engraved"] == "coordinates along bottom and left"
    assert told["Supplied with each"] == (
        "6 socket head cap screws M16, 6 T-nuts M16, 1 round locating pin M16 and 1 relieved locating pin M16"
    )


def _facts(quoted: Quoted) -> list[tuple[str, str]]:
    write = writing(quoted.quote, SheetOptions())
    return list(facts(quoted.builds[0], quoted.shop, write, quoted.quote.request["plate"]))


def _told(quoted: Quoted) -> dict[str, str]:
    return dict(_facts(quoted))


@pytest.mark.parametrize("name", GIVEN)
def test_every_field_that_was_given_is_told(name: str) -> None:
    plate = GIVEN[name]
    text = "; ".join(
        [plate["material"], *(words for _, words in _facts(made(changes={"/plate": plate, "/quantity": 1})))]
    )
    figures = [figure for _, value in answers(plate) for figure in re.findall(r"[0-9][0-9./-]*|M[0-9]+", value)]
    assert len(figures) > 5
    assert [one for one in figures if not re.search(rf"(?<![0-9.]){re.escape(one)}(?![0-9])", text)] == []


@pytest.mark.parametrize("name", GIVEN)
def test_what_is_sold_is_told_in_the_words_of_the_trade(name: str) -> None:
    told = _told(made(changes={"/plate": GIVEN[name], "/quantity": 1}))
    assert {title: told.get(title) for title in TOLD[name]} == TOLD[name]


def test_a_bore_is_in_the_middle_only_where_no_place_was_given() -> None:
    given = [{"feature": "bore", "diameter": "81 mm", "at": {"x": "201 mm", "y": "151 mm"}}]
    elsewhere = made(changes={"/plate": GIVEN["rectangular"] | {"features": given}, "/quantity": 1})
    assert _told(elsewhere)["Bore"] == "\u00d8 81 mm, at (x 201, y 151) mm"


def test_coordinates_of_all_zones_or_faces_are_told_once_and_of_some_one_by_one() -> None:
    half = {"length": "300 mm", "width": "400 mm"}
    zones = [
        {**half, "pattern": {"pitch": "50 mm"}},
        {**half, "corner": {"x": "300 mm"}, "pattern": {"pitch": "60 mm"}},
    ]
    size = {"length": "600 mm", "width": "400 mm", "material": "al-6061-t6"}
    told = _told(made(changes={"/plate": {"family": "rectangular", **size, "zones": zones}}))
    assert told["Engraved"] == "coordinates along bottom and left of each zone"
    assert told["Zone 2"].startswith("300 x 400 mm, lower left corner at (x 300) mm, pattern: ")
    one_bare = {**PLATES["tombstone"], "patterns": [{"pitch": "50 mm"}, {"pitch": "50 mm"}, {"pitch": "50 mm"}, None]}
    told = _told(made(changes={"/plate": one_bare}))
    assert told["Pattern of face 4"] == "none"
    assert told["Engraved"].endswith("face 3 bottom and face 3 left")


def test_a_field_that_no_table_knows_is_told_by_its_name() -> None:
    plate = {"family": "bar", "light_work": True, "ends": {"upper_end": "12 mm", "open": False}, "bores": [{"wide": 3}]}
    assert list(stated(plate, (), str)) == [
        ("Light work", "yes"), ("Ends", "upper end 12 mm, open: no"), ("Bores", "wide 3"),
    ]  # fmt: skip


def test_a_length_in_another_unit_than_the_sheets_is_said_in_both() -> None:
    write = writing(made().quote, SheetOptions())
    assert [write.spoken(text) for text in ("35 mm", "1 1/2 in", "anodized")] == [
        "35 mm", "38.1 mm (1 1/2 in)", "anodized",
    ]  # fmt: skip


def test_services_are_named_in_words() -> None:
    quoted = made(
        changes={
            "/services": {
                "material_certificate": "3.1", "inspection_report": "every_hole", "packing": "export", "rush": True,
                "spares": {"bushings": {"M12": 10}, "screws": {"M12": 1}}, "plugs": "every_hole", "matched": True,
            },
            "/need_by": "2026-04-30",
        }
    )  # fmt: skip
    text = _words(sheet(quoted)).replace(":\n", ": ")
    said = [
        "Material certificate: type 3.1 by EN 10204", "Inspection report: every hole of the pattern measured",
        "Packing: for export: crates", "Spare parts: 10 bushings M12 and 1 clamping screw M12",
        "Hole plugs: one in each hole", "Matched plates: close-tolerance holes", "Rush: made ahead of other orders",
        "Needed by: April 30, 2026",
    ]  # fmt: skip
    assert [one for one in said if one not in text] == []


def test_an_order_without_services_says_nothing_of_any() -> None:
    quoted = made(changes={"/services": {"packing": "standard", "material_certificate": "none", "rush": False}})
    assert "With the order" not in _words(sheet(quoted))


@pytest.mark.parametrize("country", ["US", "DE"])
def test_numbers_and_dates_have_one_style_throughout(country: str) -> None:
    late = {"/need_by": "2026-03-04", "/services": {"rush": True}}
    text = _words(sheet(made({"customer": {**CUSTOMER, "address": [], "country": country}}, late)))
    assert "ready on " in text
    assert not re.findall(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text)
    dates = {"US": r"March [0-9]+, 2026", "DE": r"[0-9]+ March 2026"}
    found = {one: re.findall(pattern, text) for one, pattern in dates.items()}
    assert found[country]
    assert not any(found[one] for one in dates if one != country)
    assert not re.findall(r"[0-9],[0-9]{1,2}(?![0-9])", text)
    assert re.findall(r"[0-9]\.[0-9]{2}(?![0-9])", text)


@pytest.mark.parametrize(
    ("pointer", "value", "said"),
    [
        ("/plate/pattern/bushings", True, ("Pattern", "with hardened bushings")),
        ("/plate/mounting/surface", "t_slots", ("Mounting", "T-slots")),
        ("/plate/mounting/locate", "retractable_pins", ("Mounting", "located by retractable pins")),
        ("/plate/marking/edges", ["left", "bottom"], ("Marking", "coordinates along left and bottom")),
        ("/plate/marking/edges", [], ("Marking", "no coordinates")),
        ("/plate/made_from", "cheaper", ("Made from", "stock or a casting, whichever costs less")),
        ("/plate/zones/1/pattern/pitch", "50 mm", ("Zone 2, pattern", "pitch 50 mm")),
        ("/plates/2/plate/thickness", "40 mm", ("Plate 3, thickness", "40 mm")),
        ("/quantity", 1, ("Quantity", "1")),
    ],
)
def test_assumed_answers_are_told_in_words(pointer: str, value: Any, said: tuple[str, str]) -> None:
    assert answer(pointer, value) == said


def test_why_is_not_said_twice() -> None:
    text = _words(sheet(made(changes={"/plate": PLATES["tombstone"], "/quantity": 1})))
    assert "(whichever costs less)" not in text
    assert "Made from:\nstock or a casting, whichever costs less" in text


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
