"""The rows of a shard: each a request, or why it is none."""

from collections.abc import Iterator

from msgspec import Struct

from tallyplate.bulk.shards import MAX_LINE, Cut, Shard, is_table, lines_of, too_long
from tallyplate.contract import Fault
from tallyplate.orders import Entry, portfolio


class Row(Struct, frozen=True):
    """A row by its line in the file, with what stands there."""

    number: int
    text: bytes
    request: object
    faults: tuple[Fault, ...]


def rows(of: Cut, shard: Shard) -> Iterator[Row]:
    """The rows of a shard; empty lines are none."""
    # A shard that is not the first is read behind the header, or behind an empty line: only the first line of a file
    # may bear a byte order mark.
    lead = [of.header or b"\n"] if shard.number else []
    text = b""

    def watched() -> Iterator[bytes]:
        """The lines, one kept at hand. One too long is handed on as a line that is never taken for an empty one."""
        nonlocal text
        yield from lead
        for text in lines_of(of.path, shard):
            yield b"?" if too_long(text) else text

    for entry in portfolio(watched(), "rows.csv" if is_table(of.path) else "rows.ndjson"):
        yield _row(shard.first + entry.line - 1 - len(lead), text, entry)


def row_of(number: int, line: bytes) -> Row:
    """A row that is a line of its own."""
    (entry,) = portfolio([b"?" if too_long(line) else line], "rows.ndjson")
    return _row(number, line, entry)


def _row(number: int, text: bytes, entry: Entry) -> Row:
    if too_long(text):
        return Row(number, text, None, (Fault("", f"is longer than {MAX_LINE} bytes; accepted: at most as many"),))
    return Row(number, text, entry.request, entry.faults)
