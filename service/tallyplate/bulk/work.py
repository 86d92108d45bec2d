"""The work on one shard: rows priced, or quarantined with their reasons, and both committed together."""

from datetime import date
from decimal import Decimal
from typing import Final

import msgspec
from msgspec import Struct

from tallyplate.answers import PriceAnswer
from tallyplate.bulk.formats import part_of
from tallyplate.bulk.job import Job, Totals
from tallyplate.bulk.ledger import OUT, QUARANTINE, Done, commit
from tallyplate.bulk.rows import Row, rows
from tallyplate.bulk.shards import Cut, Shard
from tallyplate.contract import Fault, Refusal
from tallyplate.installation import Installation
from tallyplate.pricing import PluginFailure

TOTALS: Final = 4 * 1024 * 1024
"""Bytes of a shard of which totals alone are wanted: more plates are the quicker together."""

UNREADABLE: Final = "unreadable"


class Quarantined(Struct, frozen=True):
    r"""A row that has no price: its line in the input, the kind of problem, every reason, and what stands there.

    Bytes that are not UTF-8 are written as `\xff`; of a line too long only its beginning is kept.
    """

    row: int
    code: str
    problems: tuple[Fault, ...]
    text: str


def price_shard(job: Job, of: Cut, shard: Shard, installation: Installation, today: date) -> Done:
    """Price a shard and commit it. Raises `OSError` where the disk does not take it."""
    priced: list[tuple[int, PriceAnswer]] = []
    refused: list[Quarantined] = []
    money: dict[str, dict[str, Decimal]] = {}
    for row in rows(of, shard):
        answer = attempt(row, installation, today)
        if isinstance(answer, Quarantined):
            refused.append(answer)
        else:
            priced.append((row.number, answer))
            count(answer, money)
    return committed(job, shard, part_of(job.target, priced, job.lines), refused, len(priced), money)


def committed(
    job: Job, shard: Shard, out: bytes, refused: list[Quarantined], priced: int, money: dict[str, dict[str, Decimal]]
) -> Done:
    """The record of a shard, committed with its parts."""
    parts = {OUT: out, QUARANTINE: b"".join([msgspec.json.encode(one) + b"\n" for one in refused])}
    return commit(job.folder, shard.number, parts, Totals(priced + len(refused), priced, len(refused), money))


def count(answer: PriceAnswer, money: dict[str, dict[str, Decimal]]) -> None:
    """Add a price to the money by currency and module."""
    into = money.setdefault(answer.currency, {})
    for line in answer.lines:
        into[line.module] = into.get(line.module, Decimal()) + Decimal(line.amount)


def attempt(row: Row, installation: Installation, today: date) -> PriceAnswer | Quarantined:
    """The price of a row, or why it has none; only what pricing says is caught, never that a disk is full."""
    if row.faults:
        return _quarantined(row, UNREADABLE, *row.faults)
    try:
        return installation.price(row.request, today)
    except Refusal as refusal:
        return _quarantined(row, refusal.code, *refusal.faults)
    except PluginFailure as failure:
        return _quarantined(row, "plugin-failure", Fault("", str(failure)))
    except (OSError, MemoryError):
        raise
    except Exception as error:  # noqa: BLE001 - a row of many; the reason goes with it
        return _quarantined(row, "internal-error", Fault("", f"{type(error).__name__}: {error}"))


def _quarantined(row: Row, code: str, *faults: Fault) -> Quarantined:
    return Quarantined(row.number, code, faults, row.text.rstrip(b"\r\n").decode("utf-8", "backslashreplace"))
