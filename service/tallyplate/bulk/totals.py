"""The work on a shard of which totals alone are wanted: its plates priced together, or one by one where need be."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from functools import partial

from msgspec import Struct

from tallyplate.bulk import parquet
from tallyplate.bulk.formats import format_of
from tallyplate.bulk.job import Job
from tallyplate.bulk.ledger import Done
from tallyplate.bulk.records import Record, TotalRecord, records
from tallyplate.bulk.rows import Row, row_of, rows
from tallyplate.bulk.shards import Cut, Shard
from tallyplate.bulk.work import Quarantined, attempt, committed, count
from tallyplate.inquiry import decode
from tallyplate.installation import Installation
from tallyplate.many import ABSENT, Requests, Texts, Totals, tabled, together
from tallyplate.orders import typed
from tallyplate.pricing import unit_price


class Asked(Struct, frozen=True):
    """The rows of a shard: those that are requests as a table, each by its place, and the others."""

    requests: Requests
    numbers: Sequence[int]
    row: Callable[[int], Row]
    unreadable: tuple[Row, ...] = ()


def price_totals(job: Job, of: Cut, shard: Shard, installation: Installation, today: date) -> Done:
    """Price a shard and commit it. Raises `OSError` where the disk does not take it."""
    # What is not read by the column has been staged as lines.
    asked = _in_columns(of, shard) if of.path.suffix.lower() == ".parquet" else _read(of, shard)
    found, others = together(asked.requests, installation, partial(installation.asked, today=today))
    made: list[Record] = []
    refused: list[Quarantined] = []
    money: dict[str, dict[str, Decimal]] = {}
    for totals in found:
        made += _records(totals, asked.numbers)
        _add(totals, money)
    for row in (*asked.unreadable, *map(asked.row, others)):
        answer = attempt(row, installation, today)
        if isinstance(answer, Quarantined):
            refused.append(answer)
        else:
            made += records(row.number, answer, job.lines)
            count(answer, money)
    made.sort(key=lambda record: record.row)
    refused.sort(key=lambda one: one.row)
    return committed(job, shard, format_of(job.target).part(made, job.lines), refused, len(made), money)


def _read(of: Cut, shard: Shard) -> Asked:
    every = list(rows(of, shard))
    good = [row for row in every if not row.faults]
    unreadable = tuple(row for row in every if row.faults)
    return Asked(tabled([row.request for row in good]), [row.number for row in good], good.__getitem__, unreadable)


def _in_columns(of: Cut, shard: Shard) -> Asked:
    held = parquet.Rows(of.path, shard)
    fields = {}
    for name, texts, which in held.columns():
        path = tuple(name.split("."))
        fields[path] = Texts([typed(path, text) if text else ABSENT for text in texts], which)
    requests = Requests(fields, lambda place: decode(held.line(place)), shard.lines)
    numbers = range(shard.first, shard.first + shard.lines)
    return Asked(requests, numbers, lambda place: row_of(numbers[place], held.line(place)))


def _records(totals: Totals, numbers: Sequence[int]) -> Iterator[Record]:
    """The records of plates that were priced together."""
    card, shop = totals.card, totals.shop
    dated = card.id, card.digest, shop.id, shop.digest
    columns = (column.tolist() for column in (totals.places, totals.quantities, totals.totals))
    for place, quantity, total in zip(*columns, strict=True):
        each, whole = (Decimal(one).scaleb(-card.minor_digits) for one in (unit_price(total, quantity), total))
        yield TotalRecord(numbers[place], quantity, card.currency, each, whole, totals.as_of, *dated)


def _add(totals: Totals, money: dict[str, dict[str, Decimal]]) -> None:
    """Add them to the money by currency and module."""
    into = money.setdefault(totals.card.currency, {})
    for module, amounts in totals.by_module.items():
        # A module without a line has no share; one whose lines come to nothing has one, as it has alone.
        amount = Decimal(sum(amounts.tolist())).scaleb(-totals.card.minor_digits)
        into[module] = into.get(module, Decimal()) + amount
