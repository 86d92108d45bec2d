"""Quotes as documents show them: one that says everything, and one whose texts mean harm."""

from typing import Any, Final

from tallyplate.documents.quote_inside import Inside, inside
from tallyplate.documents.quote_options import SheetOptions
from tallyplate.documents.quote_sheet import Plates, quote_sheet
from tallyplate.quoting import Quoted
from tests.plates import installation
from tests.quote.quotes import CUSTOMER, made

FULL: Final[dict[str, Any]] = {
    "customer": {**CUSTOMER, "attention": "Ms. Ingrid Halvorsen", "account": "brackwater", "tax_id": "31-0000000"},
    "reference": "RFQ 2026-118",
    "note": "Thank you for your enquiry.",
    "replaces": "Q-7K3M-9XQ2-HV4D",
    "quantities": [1, 5, 10, 25],
    "freight": {"amount": "120.5 USD", "words": "By road to Toledo"},
    "tax": {"amount": "310 USD", "words": "Sales tax 6.75 %"},
    "override": {"total": "4200 USD", "by": "R. Pell", "why": "first order of a new line"},
}

MARKUP: Final = "<script>alert(1)</script>"
TEMPLATE: Final = "{{ 7 * 7 }}{% raw %}"
TURNING: Final = "\u202eevil\u202c\u2066"
CONTROL: Final = "\x00\x07\x1b[31m\ud7ff\ufffe"
LONG: Final = "W" * 120
ARABIC: Final = "\u0634\u0631\u0643\u0629"

HOSTILE: Final[dict[str, Any]] = {
    "customer": {
        "name": LONG,
        "attention": f"{TURNING}{CONTROL}",
        "address": [ARABIC, TEMPLATE, "</td></table></style>", "&amp;<!--", LONG, "=cmd|' /C calc'!A0"],
    },
    "reference": MARKUP,
    "note": f"]]>{MARKUP}" + "x" * 500,
    "freight": {"amount": "1 USD", "words": "<img src=file:///etc/passwd>"},
}


def sheet(quoted: Quoted, options: SheetOptions | None = None, within: Inside | None = None) -> str:
    plates = Plates(quoted.builds, quoted.shop)
    return quote_sheet(quoted.quote, plates, options or SheetOptions(), within)


def within(quoted: Quoted) -> Inside:
    return inside(quoted.quote, quoted.price, installation().modules, "R. Pell", "first order of a new line")


def full(**changes: Any) -> Quoted:
    return made(FULL | changes)


def hostile() -> Quoted:
    return made(HOSTILE)
