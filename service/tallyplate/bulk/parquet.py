"""Parquet in and out, by Apache Arrow, which may be absent."""

import csv
import io
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import IO, Any, Final, get_args, get_type_hints

import msgspec
from msgspec import Struct

from tallyplate.bulk.job import Job, Lines
from tallyplate.bulk.records import KINDS
from tallyplate.bulk.shards import MAX_LINE, Cut, Shard
from tallyplate.orders import portfolio
from tallyplate.rates.files import DataError

BATCH: Final = 1024
"""Rows that are held at once while a file is read."""

GROUP: Final = 8192
"""Records after which a row group of an output ends with its shard."""

ROW_BYTES: Final = 128
"""What a row of columns counts for in the size of a shard."""

DIGITS, DECIMALS = 38, 9
"""Of every figure: enough for the resolution of any quantity or rate, and for any amount."""


def check_installed() -> None:
    """Raises `DataError` with what to install."""
    if find_spec("pyarrow") is None:
        message = "Parquet needs pyarrow, which is not installed: pip install tallyplate[bulk]"
        raise DataError(message)


def part(records: Iterable[Struct], lines: Lines) -> bytes:
    """A shard's records as an Arrow stream."""
    import pyarrow as pa  # noqa: PLC0415 - it may be absent

    rows = [msgspec.structs.astuple(one) for one in records]
    fields = schema(lines)
    columns = zip(*rows, strict=True) if rows else ([] for _ in fields)
    plain = (msgspec.to_builtins(column, builtin_types=(Decimal, date)) for column in columns)
    arrays = [pa.array(column, field.type) for column, field in zip(plain, fields, strict=True)]
    table = pa.Table.from_arrays(arrays, schema=fields)
    sink = pa.BufferOutputStream()
    with pa.ipc.new_stream(sink, table.schema) as stream:
        stream.write_table(table)
    content: bytes = sink.getvalue().to_pybytes()
    return content


def join(file: IO[bytes], parts: Iterable[bytes], lines: Lines) -> None:
    """A file of all parts, several shards a row group."""
    import pyarrow as pa  # noqa: PLC0415 - it may be absent
    from pyarrow import parquet  # noqa: PLC0415 - likewise

    with parquet.ParquetWriter(file, schema(lines)) as writer:
        held: list[Any] = []
        for one in parts:
            held.append(pa.ipc.open_stream(one).read_all())
            if sum(table.num_rows for table in held) >= GROUP:
                writer.write_table(pa.concat_tables(held))
                held.clear()
        if held:
            writer.write_table(pa.concat_tables(held))


def schema(lines: Lines) -> Any:  # noqa: ANN401 - Arrow has no annotations
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

    return pa.schema(fields(KINDS[lines]))


def requests(path: Path) -> Iterator[bytes]:
    """The rows of a file as price requests in JSON, one a line; raises `DataError` for what is not Parquet.

    Where no column holds structures, the columns are those of a table in CSV, such as `plate.length`, and are read as
    such. Otherwise a row is a request as it stands, its nulls left out.
    """
    with opened(path) as file:
        rows = (row for batch in file.iter_batches(BATCH) for row in batch.to_pylist())
        if _nested(file.schema_arrow):
            yield from (_json(_given(row)) for row in rows)
        else:
            yield from _of_table(file.schema_arrow.names, rows, path.name)


def in_columns(job: Job) -> bool:
    """Whether a job reads its input by the column: totals alone are wanted, and no column holds structures."""
    if job.lines != "none" or job.source.suffix.lower() != ".parquet":
        return False
    with opened(job.source) as file:
        return not _nested(file.schema_arrow)


def cut(path: Path, size: int) -> Cut:
    """A file in shards of its rows, none of which reaches over the end of a row group.

    Raises `DataError` where columns have names that say nothing.
    """
    shards: list[Shard] = []
    most, first = max(1, size // ROW_BYTES), 0
    with opened(path) as file:
        next(portfolio([_csv(file.schema_arrow.names)], f"{path.name}.csv"), None)
        for group in range(file.num_row_groups):
            end = first + file.metadata.row_group(group).num_rows
            for start in range(first, end, most):
                stop = min(start + most, end)
                shards.append(Shard(len(shards), start, stop, start + 1, stop - start))
            first = end
    return Cut(path, tuple(shards))


class Rows:
    """The rows of a shard in columns."""

    def __init__(self, path: Path, shard: Shard) -> None:
        stat = path.stat()
        first, group = _group(path, shard.start, stat.st_mtime_ns, stat.st_size)
        self.table, self.name = group.slice(shard.start - first, shard.lines), path.name

    def line(self, place: int) -> bytes:
        """A row as the line that it would be in NDJSON."""
        rows = self.table.slice(place, 1).to_pylist()
        return next(_of_table(self.table.column_names, rows, self.name))

    def columns(self) -> Iterator[tuple[str, list[Any], Any]]:
        """Each column by its name: the different values, as text, and which of them each row has; None for nothing."""
        import pyarrow as pa  # noqa: PLC0415 - it may be absent

        for name, column in zip(self.table.column_names, self.table.columns, strict=True):
            plain = column.cast(column.type.value_type) if pa.types.is_dictionary(column.type) else column
            encoded = plain.combine_chunks().dictionary_encode()
            values = ["" if value is None else str(value).strip() for value in encoded.dictionary.to_pylist()]
            yield name, [*values, ""], encoded.indices.fill_null(len(values)).to_numpy()


@lru_cache(maxsize=1)
def _group(path: Path, row: int, _: int, __: int) -> tuple[int, Any]:
    """The row group that a row is in, and the number of its first row."""
    first = 0
    with opened(path) as file:
        for group in range(file.num_row_groups):
            rows = file.metadata.row_group(group).num_rows
            if row < first + rows:
                return first, file.read_row_group(group)
            first += rows
    message = f"{path}: has no row {row + 1}"
    raise DataError(message)


@contextmanager
def opened(path: Path) -> Iterator[Any]:
    """A file to be read; raises `DataError` for what is not Parquet."""
    check_installed()
    import pyarrow as pa  # noqa: PLC0415 - it may be absent
    from pyarrow import parquet  # noqa: PLC0415 - likewise

    try:
        with path.open("rb") as raw, parquet.ParquetFile(raw) as file:
            yield file
    except (pa.ArrowException, OSError) as error:
        if isinstance(error, OSError) and error.errno:
            raise
        message = f"{path}: is not Parquet that can be read: {error}"
        raise DataError(message) from None


def _nested(schema: Any) -> bool:  # noqa: ANN401 - Arrow has no annotations
    import pyarrow as pa  # noqa: PLC0415 - it may be absent

    return any(pa.types.is_nested(kind) for kind in schema.types)


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
