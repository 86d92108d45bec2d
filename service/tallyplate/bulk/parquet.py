"""Parquet in and out, by Apache Arrow, which may be absent."""

import csv
import io
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from importlib.util import find_spec
from pathlib import Path
from typing import IO, Any, Final, get_args, get_type_hints

import msgspec

from tallyplate.bulk.records import Priced, all_records, record_type
from tallyplate.bulk.shards import MAX_LINE
from tallyplate.orders import portfolio
from tallyplate.rates.files import DataError

BATCH: Final = 1024
"""Rows that are held at once while a file is read."""

GROUP: Final = 8192
"""Records after which a row group of an output ends with its shard."""

DIGITS, DECIMALS = 38, 9
"""Of every figure: enough for the resolution of any quantity or rate, and for any amount."""


def check_installed() -> None:
    """Raises `DataError` with what to install."""
    if find_spec("pyarrow") is None:
        message = "Parquet needs pyarrow, which is not installed: pip install tallyplate[bulk]"
        raise DataError(message)


def part(priced: Priced, flat: bool) -> bytes:
    """A shard's records as an Arrow stream."""
    import pyarrow as pa  # noqa: PLC0415 - it may be absent

    rows = [msgspec.to_builtins(one, builtin_types=(Decimal, date)) for one in all_records(priced, flat=flat)]
    table = pa.Table.from_pylist(rows, schema=schema(flat=flat))
    sink = pa.BufferOutputStream()
    with pa.ipc.new_stream(sink, table.schema) as stream:
        stream.write_table(table)
    content: bytes = sink.getvalue().to_pybytes()
    return content


def join(file: IO[bytes], parts: Iterable[bytes], flat: bool) -> None:
    """A file of all parts, several shards a row group."""
    import pyarrow as pa  # noqa: PLC0415 - it may be absent
    from pyarrow import parquet  # noqa: PLC0415 - likewise

    with parquet.ParquetWriter(file, schema(flat=flat)) as writer:
        held: list[Any] = []
        for one in parts:
            held.append(pa.ipc.open_stream(one).read_all())
            if sum(table.num_rows for table in held) >= GROUP:
                writer.write_table(pa.concat_tables(held))
                held.clear()
        if held:
            writer.write_table(pa.concat_tables(held))


def schema(*, flat: bool) -> Any:  # noqa: ANN401 - Arrow has no annotations
    """The columns of the records, from their types."""
    import pyarrow as pa  # noqa: PLC0415 - it may be absent

    plain = {int: pa.int64(), str: pa.string(), date: pa.date32(), Decimal: pa.decimal128(DIGITS, DECIMALS)}

    def column(kind: Any) -> Any:  # noqa: ANN401
        """A type of ours as Arrow's; `list[X]` and `X | None` have their X first."""
        inner = get_args(kind)
        if inner:
            return pa.list_(column(inner[0])) if isinstance(kind, type(list[int])) else column(inner[0])
        return plain[kind] if kind in plain else pa.struct(fields(kind))

    def fields(kind: type) -> list[Any]:
        return [pa.field(name, column(hint)) for name, hint in get_type_hints(kind).items()]

    return pa.schema(fields(record_type(flat=flat)))


def requests(path: Path) -> Iterator[bytes]:
    """The rows of a file as price requests in JSON, one a line; raises `DataError` for what is not Parquet.

    Where no column holds structures, the columns are those of a table in CSV, such as `plate.length`, and are read as
    such. Otherwise a row is a request as it stands, its nulls left out.
    """
    check_installed()
    import pyarrow as pa  # noqa: PLC0415 - it may be absent
    from pyarrow import parquet  # noqa: PLC0415 - likewise

    try:
        with path.open("rb") as raw, parquet.ParquetFile(raw) as file:
            rows = (row for batch in file.iter_batches(BATCH) for row in batch.to_pylist())
            if any(pa.types.is_nested(kind) for kind in file.schema_arrow.types):
                yield from (_json(_given(row)) for row in rows)
            else:
                yield from _of_table(file.schema_arrow.names, rows, path.name)
    except (pa.ArrowException, OSError) as error:
        if isinstance(error, OSError) and error.errno:
            raise
        message = f"{path}: is not Parquet that can be read: {error}"
        raise DataError(message) from None


def _of_table(names: list[str], rows: Iterable[dict[str, Any]], name: str) -> Iterator[bytes]:
    """Each row as the reader of tables takes it, which asks for one line at a time: the header, then row by row."""
    waiting = [_csv(names)]
    entries = portfolio(iter(waiting.pop, None), f"{name}.csv")
    for row in rows:
        cells = ["" if value is None else str(value) for value in row.values()]
        if any(cell.strip() for cell in cells):
            waiting.insert(0, _csv(cells))
            entry = next(entries)
            # The one fault that a row can have by now is a cell that is longer than any line may be.
            yield b"?" * MAX_LINE + b"\n" if entry.faults else _json(entry.request)
        else:
            yield _json({})


def _csv(cells: list[str]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text).writerow(cells)
    return text.getvalue().encode()


def _json(request: object) -> bytes:
    return msgspec.json.encode(request) + b"\n"


def _given(value: Any) -> Any:  # noqa: ANN401 - whatever a column holds
    """A value without the fields that are null: all rows of a file have all fields."""
    if isinstance(value, dict):
        return {name: _given(inner) for name, inner in value.items() if inner is not None}
    return [_given(inner) for inner in value] if isinstance(value, list) else value
