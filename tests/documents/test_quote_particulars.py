"""What a revision, freight, tax, an agreed price and a settled price say, on every document of a quote."""

import csv
import io
from collections.abc import Callable
from decimal import Decimal
from typing import Final
from xml.etree.ElementTree import Element

import pytest

from tallyplate.documents.quote_lines import quote_lines
from tallyplate.documents.quote_ubl import SPACES, quote_ubl
from tallyplate.documents.streams import csv_pieces
from tallyplate.quoting import Quoted
from tests.documents.drawing import parsed
from tests.documents.quote_examples import FULL, full, sheet, within
from tests.documents.test_quote_sheet import Read
from tests.quote.quotes import CUSTOMER, made, token

WHY: Final = FULL["override"]["why"]
BUSHED: Final = {**CUSTOMER, "account": "thornwick-gauge"}
DOCUMENTS: Final[dict[str, Callable[[Quoted], str]]] = {
    "sheet": lambda quoted: Read(sheet(quoted)).text,
    "inside": lambda quoted: Read(sheet(quoted, within=within(quoted))).text,
    "xml": lambda quoted: quote_ubl(quoted.quote, token(quoted.quote)).decode(),
    "csv": lambda quoted: b"".join(csv_pieces(quote_lines(quoted.quote))).decode(),
}
SAID: Final = (
    "Q-7K3M-9XQ2-HV4D", "By road to Toledo", "120.50", "Sales tax 6.75 %", "310.00", "Price settled by R. Pell",
    "Agreed price: bushings", "8 %; 12 % of what is above 2000.00",
)  # fmt: skip


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_document_says_what_is_replaced_stated_and_agreed_and_who_settled_the_price(name: str) -> None:
    text = DOCUMENTS[name](full(customer=BUSHED))
    assert [one for one in SAID if one not in text] == []


@pytest.mark.parametrize("name", DOCUMENTS)
def test_why_a_price_was_settled_stands_on_the_pages_of_the_house_alone(name: str) -> None:
    assert (WHY in DOCUMENTS[name](full())) is (name == "inside")


@pytest.mark.parametrize("name", ["sheet", "xml", "csv"])
def test_a_first_quote_without_freight_and_tax_says_nothing_of_them(name: str) -> None:
    text = DOCUMENTS[name](made())
    assert "Replace" not in text
    assert FULL["replaces"] not in text
    assert "settled" not in text
    assert "By road" not in text


def _amounts(root: Element, path: str) -> list[Decimal]:
    return [Decimal(found.text or "") for found in root.findall(path, SPACES)]


def test_an_erp_finds_freight_as_a_charge_tax_as_tax_and_agreements_as_allowances() -> None:
    quoted = full(customer=BUSHED)
    root = parsed(quote_ubl(quoted.quote, token(quoted.quote)))
    reasons = [one.text or "" for one in root.findall("cac:AllowanceCharge/cbc:AllowanceChargeReason", SPACES)]
    charged = [one.text for one in root.findall("cac:AllowanceCharge/cbc:ChargeIndicator", SPACES)]
    assert [reason.partition(":")[0] for reason in reasons] == [
        "Agreed price", "Bushing agreement", "Price settled by R. Pell", "Freight",
    ]  # fmt: skip
    assert charged == ["false", "false", "false", "true"]
    assert _amounts(root, "cac:TaxTotal/cbc:TaxAmount") == [Decimal("310.00")]
    assert _amounts(root, "cac:QuotedMonetaryTotal/cbc:PayableAmount") == [Decimal("4630.50")]
    documents = root.findall("cac:AdditionalDocumentReference", SPACES)
    kinds = {one.findtext("cbc:DocumentType", "", SPACES): one.findtext("cbc:ID", "", SPACES) for one in documents}
    assert kinds["Replaced quotation"] == FULL["replaces"]


def test_every_row_of_the_lines_names_the_quote_that_is_replaced() -> None:
    text = DOCUMENTS["csv"](full()).removeprefix("\ufeff")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert {row["replaces"] for row in rows} == {FULL["replaces"]}
    assert [row["kind"] for row in rows][-2:] == ["freight", "tax"]
