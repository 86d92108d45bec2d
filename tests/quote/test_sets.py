"""Quotes of sets: one signature, a line for each plate with its own figure, and documents that show every plate."""

import xml.etree.ElementTree as ET
from datetime import date
from decimal import Decimal
from typing import Any

import msgspec
import pytest

from tallyplate.contract import Refusal
from tallyplate.documents.quote_lines import quote_lines
from tallyplate.documents.quote_ubl import quote_ubl
from tallyplate.documents.streams import csv_pieces
from tallyplate.http.app import create_app
from tallyplate.http.limits import Limits
from tallyplate.installation import Form
from tallyplate.quote.content import Quote
from tallyplate.quoting import Quoted, beside_today, quote
from tallyplate.sets.priced import price_set
from tests.callers import customers
from tests.documents.quote_examples import sheet, within
from tests.documents.test_quote_sheet import Read
from tests.http.problem import problem
from tests.plates import installation
from tests.quote.quotes import CUSTOMER, ISSUED, KEYS, content_of, token
from tests.serving import asking
from tests.sets.orders import entry

SET: dict[str, Any] = {
    "plates": [{**entry(2), "name": "left table"}, entry(length="24 in"), entry(material="steel-1018")],
    "services": {"rush": True},
}


def _asked(quote_says: dict[str, Any] | None = None, **changes: Any) -> dict[str, Any]:
    return {**SET, **changes, "quote": {"customer": CUSTOMER, **(quote_says or {})}}


def _made(quote_says: dict[str, Any] | None = None, form: Form = Form.INSIDE, **changes: Any) -> Quoted:
    return quote(_asked(quote_says, **changes), installation(), form, ISSUED, may_settle=True)


def test_the_total_is_the_sets_and_each_plate_has_its_line_and_figure() -> None:
    said = _made().quote
    whole = price_set(SET, installation(), ISSUED)
    assert Decimal(said.total) * 100 == whole.price.total
    assert (said.title, said.quantity, said.unit_price) == ("Set of 4 plates", 1, said.total)
    assert [line.item for line in said.lines] == [*(plate.title for plate in said.plates), "Rush"]
    assert said.plates[0].title.startswith("1. left table: Rectangular plate, Aluminium 6061-T6, 254 x 203.2 x ")
    assert said.plates[1].title.startswith("2. Rectangular plate")
    counted = [(2, "plate"), (1, "plate"), (1, "plate"), (1, "order")]
    assert [(line.quantity, line.unit) for line in said.lines] == counted
    assert sum(Decimal(line.amount) for line in said.lines) == Decimal(said.list_total)


def test_without_services_each_plates_line_is_its_part_of_the_total() -> None:
    said = _made(services={}).quote
    whole = price_set({"plates": SET["plates"]}, installation(), ISSUED)
    assert [Decimal(line.amount) * 100 for line in said.lines] == [plate.amount for plate in whole.plates]
    assert [line.amount for line in said.lines] == [plate.amount for plate in said.plates]


SERVICES: dict[str, Any] = {
    "rush": True, "material_certificate": "3.1", "spares": {"bushings": {"M12": 10}, "screws": {"M12": 1}},
    "packing": "export",
}  # fmt: skip


def test_services_of_a_set_are_named_and_their_money_has_lines_that_lead_to_the_total() -> None:
    quoted = _made(services=SERVICES)
    said, whole = quoted.quote, price_set({**SET, "services": SERVICES}, installation(), ISSUED)
    assert Decimal(said.total) * 100 == whole.price.total
    served = {line.item: Decimal(line.amount) for line in said.lines[len(said.plates) :]}
    assert {*served} == {"Rush", "Certificates and reports", "Spare parts and hole plugs", "Export packing"}
    assert all(amount > 0 for amount in served.values())
    plates = sum(Decimal(plate.amount) for plate in said.plates)
    assert plates + sum(served.values()) == Decimal(said.total)
    text = Read(sheet(quoted)).text.replace(":\n", ": ")
    words = [
        "Plates and services", "Rush: made ahead of other orders", "Material certificate: type 3.1 by EN 10204",
        "Spare parts: 10 bushings M12 and 1 clamping screw M12", "Packing: for export",
    ]  # fmt: skip
    assert [one for one in (*words, *served) if one not in text] == []
    printed = [f"{Decimal(one.amount):,}" for one in said.lines]
    assert [one for one in printed if f"\n{one}\n" not in text] == []


def test_a_joined_plate_says_along_which_edges() -> None:
    wide = entry(length="600 mm", width="400 mm", pattern={"pitch": "50 mm"}, mounting={"surface": "none"})
    plates = [{**wide, "joined": ["right"]}, {**wide, "joined": ["left", "top"]}]
    text = Read(sheet(_made(plates=plates))).text
    assert "Joined\nalong right" in text
    assert "Joined\nalong left and top" in text


def test_its_request_makes_the_same_set_again_with_nothing_left_to_assume() -> None:
    said = _made().quote
    again = price_set(said.request, installation(), ISSUED)
    assert Decimal(said.total) * 100 == again.price.total
    assert not [one for plate in again.plates for one in plate.assumed]
    assert set(said.request) == {"plates", "services"}


def test_cautions_say_of_which_plate_they_are() -> None:
    heavy = entry(length="400 mm", width="350 mm", thickness="70 mm")
    said = _made(plates=[{**heavy, "name": "base"}, heavy, entry()]).quote
    told = [one.message.partition(": ")[0] for one in said.findings if one.code == "heavy"]
    assert told == ["base", "plate 2"]


def test_terms_apply_to_the_whole_order() -> None:
    plain, granted = _made().quote, _made({"customer": {**CUSTOMER, "account": "brackwater"}}).quote
    assert granted.list_total == plain.list_total
    assert granted.adjustments
    changed = sum(Decimal(line.amount) for line in granted.adjustments)
    assert Decimal(granted.total) == Decimal(granted.list_total) + changed


def test_it_is_compared_with_today_plate_by_plate() -> None:
    told = beside_today(_made().quote, installation(), date(2026, 6, 1))
    assert told.comparison
    assert [line.item for line in told.comparison.lines] == [line.item for line in _made().quote.lines]
    assert Decimal(told.comparison.difference) == Decimal(told.comparison.b) - Decimal(told.comparison.a)


def test_a_token_holds_the_set_and_none_of_its_cost() -> None:
    content = content_of(token(_made().quote))
    assert msgspec.convert(content, Quote) == _made().quote
    assert not {"shared", "hours", "rate", "margin"} & set(content)
    assert [plate["quantity"] for plate in content["plates"]] == [2, 1, 1]


def test_the_sheet_shows_every_plate_with_its_figure_and_the_total_once() -> None:
    quoted = _made()
    page = sheet(quoted)
    assert page.count("<figure>") == len(SET["plates"])
    for plate in quoted.quote.plates:
        assert page.count(f"<h2>{plate.title}</h2>") == 1
    assert "Price of the set" in page
    assert "2 at " in page
    assert "Plate 2, thickness: <strong>" in page
    assert page.count('<tr class="total">') == 1
    assert "Cost" in sheet(quoted, within=within(quoted))


def test_what_is_within_sums_to_the_cost_of_every_line() -> None:
    found = within(_made())
    assert Decimal(found.cost) == sum((Decimal(work.amount) for work in found.works), Decimal())
    assert {"Material", "Overhead"} <= {work.title for work in found.works}


def test_an_erp_gets_a_line_for_each_plate_with_its_answers() -> None:
    said = _made().quote
    root = ET.fromstring(quote_ubl(said, token(said)))  # noqa: S314 - it is ours
    spaces = {"cac": "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2",
              "cbc": "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"}  # fmt: skip
    lines = root.findall("cac:QuotationLine/cac:LineItem", spaces)
    assert [line.findtext("cbc:Quantity", "", spaces) for line in lines] == ["2", "1", "1", "1"]
    assert [line.findtext("cac:Item/cbc:Name", "", spaces) for line in lines] == [one.item for one in said.lines]
    units = [line.find("cbc:Quantity", spaces) for line in lines]
    assert [one.get("unitCode") for one in units if one is not None] == ["H87", "H87", "H87", "C62"]
    assert root.findtext("cbc:LineCountNumeric", "", spaces) == str(len(lines))
    names = {one.text for one in lines[1].iterfind("cac:Item/cac:AdditionalItemProperty/cbc:Name", spaces)}
    assert {"length", "material", "pattern/pitch"} <= names
    amounts = sum(Decimal(line.findtext("cbc:LineExtensionAmount", "", spaces)) for line in lines)
    assert amounts == Decimal(said.list_total)


def test_flat_lines_sum_to_what_is_payable() -> None:
    text = b"".join(csv_pieces(quote_lines(_made().quote))).decode("utf-8-sig")
    assert all(plate.title in text for plate in _made().quote.plates)


@pytest.mark.parametrize(
    ("quote_says", "changes", "pointer", "says"),
    [
        ({"quantities": [2]}, {}, "/quote/quantities", "a set is quoted as it stands"),
        ({}, {"plates": [entry(), entry(position_tolerance="0.001 mm")]}, "/plates/1/plate/position_tolerance", "made"),
        ({}, {"plates": [entry(length="24")]}, "/plates/0/plate/length", "unit"),
        ({}, {"plates": [entry(), entry(position_tolerance="0.02 mm")], "services": {"matched": True}},
         "/plates/1/plate", "cannot be matched"),
    ],
)  # fmt: skip
def test_a_set_that_cannot_be_quoted_is_refused_by_its_place(
    quote_says: dict[str, Any], changes: dict[str, Any], pointer: str, says: str
) -> None:
    with pytest.raises(Refusal) as refused:
        _made(quote_says, **changes)
    (fault,) = refused.value.faults
    assert fault.pointer == pointer
    assert says in fault.message


def test_over_http_both_forms_sign_the_same_quote_and_the_inside_form_adds_the_cost_lines() -> None:
    inside, outside = (asking(create_app(installation(), gate, KEYS)) for gate in (None, customers()))
    told, shown = (ask("POST", "/v1/quotes", json=_asked()).json() for ask in (inside, outside))
    assert told["token"] == shown["token"]
    assert set(shown) == {"token", "key_id", "quote"}
    assert set(told) == {"token", "key_id", "quote", "set_price"}
    assert told["set_price"]["total"] == told["quote"]["total"]
    for media_type in ("text/html", "application/xml", "text/csv"):
        response = outside("POST", "/v1/quotes", json=_asked(), headers={"accept": media_type})
        assert response.status_code == 200, response.text
        assert "left table" in response.text
    verdict = outside("POST", "/v1/quotes/verification", json={"token": told["token"]}).json()
    assert verdict["genuine"]
    assert verdict["today"]["comparison"]["lines"]


def test_the_limit_of_plates_holds_for_quotes_too() -> None:
    ask = asking(create_app(installation(), None, KEYS, Limits(plates=2)))
    errors = problem(ask("POST", "/v1/quotes", json=_asked()), 422, "invalid-request")
    assert errors == {"/plates": "3 plates; accepted: at most 2"}
