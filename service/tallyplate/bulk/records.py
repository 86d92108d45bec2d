"""What is written of a priced row: one record for the plate, or one for each line of its price."""

from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from typing import Final

import msgspec
from msgspec import UNSET, Struct

from tallyplate.answers import LineAnswer, PriceAnswer
from tallyplate.bulk.job import Lines
from tallyplate.findings import Severity


class PricedLine(Struct, frozen=True):
    """A line of a price: amount = quantity x rate, rounded to the minor unit."""

    module: str
    item: str
    quantity: Decimal
    unit: str
    rate: Decimal
    amount: Decimal
    basis: str
    work_center: str | None


class Said(Struct, frozen=True):
    """A finding, without its mend."""

    severity: str
    code: str
    pointer: str
    message: str


class Taken(Struct, frozen=True):
    """An answer that was assumed; its value as JSON."""

    pointer: str
    value: str
    why: str


class PlateRecord(Struct, frozen=True):
    """A plate with its price. `row` is its line in the input; `errors` counts the findings of that severity."""

    row: int
    quantity: int
    currency: str
    unit_price: Decimal
    total: Decimal
    errors: int
    mass_each_kg: Decimal
    mass_total_kg: Decimal
    working_days: int
    ready_on: date
    as_of: date
    rate_card: str
    rate_card_digest: str
    shop_data: str
    shop_data_digest: str
    lines: list[PricedLine]
    findings: list[Said]
    assumed: list[Taken]


class LineRecord(Struct, frozen=True):
    """One line of a price, with what tells whose it is; `row` and `errors` as in a plate's record."""

    row: int
    plates: int
    currency: str
    total: Decimal
    errors: int
    as_of: date
    module: str
    item: str
    quantity: Decimal
    unit: str
    rate: Decimal
    amount: Decimal
    basis: str
    work_center: str | None


class TotalRecord(Struct, frozen=True):
    """The price of an order alone: no line of it, and nothing of what checks would find."""

    row: int
    quantity: int
    currency: str
    unit_price: Decimal
    total: Decimal
    as_of: date
    rate_card: str
    rate_card_digest: str
    shop_data: str
    shop_data_digest: str


Record = PlateRecord | LineRecord | TotalRecord

Priced = Iterable[tuple[int, PriceAnswer]]
"""Rows by number, each with its price."""


KINDS: Final[dict[Lines, type[Record]]] = {"nested": PlateRecord, "flat": LineRecord, "none": TotalRecord}
"""The kind of record, by what becomes of the lines of a price."""


def all_records(priced: Priced, lines: Lines) -> Iterator[Record]:
    """The records of prices, in order."""
    for row, answer in priced:
        yield from records(row, answer, lines)


def records(row: int, answer: PriceAnswer, how: Lines) -> Iterator[Record]:
    """The records of a price."""
    if how == "none":
        unit_price, total = Decimal(answer.unit_price), Decimal(answer.total)
        card, shop = answer.rate_card, answer.shop_data
        dated = card.id, card.digest, shop.id, shop.digest
        yield TotalRecord(row, answer.quantity, answer.currency, unit_price, total, answer.as_of, *dated)
        return
    errors = sum(finding.severity is Severity.ERROR for finding in answer.findings)
    lines = [_line(line) for line in answer.lines]
    if how == "flat":
        head = (row, answer.quantity, answer.currency, Decimal(answer.total), errors, answer.as_of)
        yield from (LineRecord(*head, *msgspec.structs.astuple(line)) for line in lines)
        return
    yield PlateRecord(
        row=row,
        quantity=answer.quantity,
        currency=answer.currency,
        unit_price=Decimal(answer.unit_price),
        total=Decimal(answer.total),
        errors=errors,
        mass_each_kg=Decimal(answer.mass.each),
        mass_total_kg=Decimal(answer.mass.total),
        working_days=answer.lead_time.working_days,
        ready_on=answer.lead_time.ready_on,
        as_of=answer.as_of,
        rate_card=answer.rate_card.id,
        rate_card_digest=answer.rate_card.digest,
        shop_data=answer.shop_data.id,
        shop_data_digest=answer.shop_data.digest,
        lines=lines,
        findings=[Said(one.severity.value, one.code, one.pointer, one.message) for one in answer.findings],
        assumed=[Taken(one.pointer, msgspec.json.encode(one.value).decode(), one.why) for one in answer.assumed],
    )


def _line(line: LineAnswer) -> PricedLine:
    center = None if line.work_center is UNSET else line.work_center
    figures = Decimal(line.quantity), Decimal(line.rate), Decimal(line.amount)
    quantity, rate, amount = figures
    return PricedLine(line.module, line.item, quantity, line.unit, rate, amount, line.basis, center)
