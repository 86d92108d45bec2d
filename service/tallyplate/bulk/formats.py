"""The formats of an output: what a shard's part of it is, and how parts become one file. A file's suffix chooses."""

import csv
import io
from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import IO, Any, Final

import msgspec
from msgspec import Struct

from tallyplate.answers import PriceAnswer
from tallyplate.bulk import parquet
from tallyplate.bulk.job import Lines
from tallyplate.bulk.records import KINDS, Priced, Record, all_records
from tallyplate.documents.tables import harmless
from tallyplate.rates.files import DataError

LINE_END: Final = "\r\n"

_harmless = lru_cache(maxsize=4096)(harmless)


class Format(Struct, frozen=True):
    """How records are written: a shard's part of the file, and the file from all parts in order."""

    part: Callable[[Iterable[Record], Lines], bytes]
    join: Callable[[IO[bytes], Iterable[bytes], Lines], None]


class PriceOfRow(Struct, frozen=True):
    """A price as `POST /v1/prices` answers it, and the row that it is of."""

    row: int
    price: PriceAnswer


def format_of(path: Path) -> Format:
    """The format of a file by its suffix. Raises `DataError` for what is not on offer or not installed."""
    suffix = path.suffix.lower()
    if suffix == ".json":
        message = f"{path}: one JSON document is not written row by row; accepted: .ndjson, .csv, .parquet"
        raise DataError(message)
    if suffix == ".parquet":
        parquet.check_installed()
    return FORMATS.get(suffix, NDJSON)


def part_of(path: Path, priced: Priced, lines: Lines) -> bytes:
    """A shard's part of the file of that name, from its prices."""
    if lines == "nested" and format_of(path) is NDJSON:
        return _ndjson_part((PriceOfRow(*one) for one in priced), lines)
    return format_of(path).part(all_records(priced, lines), lines)


def _ndjson_part(records: Iterable[Struct], _: Lines) -> bytes:
    return b"".join([msgspec.json.encode(one) + b"\n" for one in records])


def _ndjson_join(file: IO[bytes], parts: Iterable[bytes], _: Lines) -> None:
    file.writelines(parts)


def _csv_part(records: Iterable[Struct], _: Lines) -> bytes:
    text = io.StringIO(newline="")
    rows = ([_cell(value) for value in msgspec.structs.astuple(one)] for one in records)
    csv.writer(text, lineterminator=LINE_END).writerows(rows)
    return text.getvalue().encode()


def _csv_join(file: IO[bytes], parts: Iterable[bytes], lines: Lines) -> None:
    """The names of the columns, then the rows; marked as UTF-8 so that spreadsheets read it as such."""
    file.write((",".join(KINDS[lines].__struct_fields__) + LINE_END).encode("utf-8-sig"))
    file.writelines(parts)


def _cell(value: Any) -> str:  # noqa: ANN401 - any field of a record
    """A field as text, harmless to a spreadsheet; lists as JSON."""
    if isinstance(value, str):
        return _harmless(value)
    if isinstance(value, list):
        return msgspec.json.encode(value).decode()
    return "" if value is None else f"{value:f}" if isinstance(value, Decimal) else str(value)


NDJSON: Final = Format(_ndjson_part, _ndjson_join)
FORMATS: Final = {".csv": Format(_csv_part, _csv_join), ".parquet": Format(parquet.part, parquet.join)}
