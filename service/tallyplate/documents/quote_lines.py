"""A quote as flat lines for a spreadsheet or an ERP's import: every amount that leads to what is payable, one a row."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from tallyplate.documents.streams import Rows
from tallyplate.documents.tables import Cell
from tallyplate.quote.content import Quote

UNITS: Final = {"plate": "H87", "order": "C62"}
"""UN/ECE Recommendation 20 (revision 17, 2021, Annexes II and III): H87 is a piece, C62 is one."""

COLUMNS: Final = (
    ("quote", 18), ("issued_on", 12), ("valid_until", 12), ("customer", 30), ("account", 16), ("reference", 20),
    ("line", 6), ("kind", 12), ("item", 40), ("basis", 40), ("quantity", 10), ("unit_code", 10), ("amount", 14),
    ("currency", 9), ("replaces", 18),
)  # fmt: skip


def quote_lines(quote: Quote) -> Rows:
    """The lines of a quote; their amounts sum to what is payable."""
    head = (
        quote.number,
        quote.issued_on.isoformat(),
        quote.valid_until.isoformat(),
        quote.customer.name,
        quote.customer.account or "",
        quote.reference or "",
    )
    last = quote.currency, quote.replaces or ""
    rows = ((*head, number, *line, *last) for number, line in enumerate(_lines(quote), start=1))
    return Rows(f"Quotation {quote.number}", COLUMNS, rows)


def _lines(quote: Quote) -> Iterator[tuple[Cell, ...]]:
    for kind, lines in (("work", quote.lines), ("adjustment", quote.adjustments)):
        for line in lines:
            yield kind, line.item, line.basis, line.quantity, UNITS[line.unit], Decimal(line.amount)
    for kind, stated in (("freight", quote.freight), ("tax", quote.tax)):
        if stated:
            yield kind, stated.words, "", 1, UNITS["order"], Decimal(stated.amount)
