"""A plate of 100,000 holes: its documents grow with it, what they hold in memory does not."""

import tracemalloc
from collections.abc import Callable, Iterator
from functools import cache
from io import BytesIO
from zipfile import ZipFile

import pytest

from tallyplate.asked import Made
from tallyplate.contract import Refusal
from tallyplate.documents.drawings.as_dxf import dxf_pieces
from tallyplate.documents.drawings.as_svg import svg_pieces
from tallyplate.documents.drawings.sheet import MOST_HOLES, limited
from tallyplate.documents.measures import MEASURES
from tallyplate.documents.picture import plate_picture
from tallyplate.documents.schedules.schedule import schedule_json
from tallyplate.documents.schedules.sheets import all_tables, table
from tallyplate.documents.streams import csv_pieces
from tallyplate.documents.workbook import xlsx_pieces
from tests.documents.drawing import SVG, parsed
from tests.documents.plates import drawn, large

Make = Callable[[Made], Iterator[bytes]]
MM = MEASURES["mm"]
MAKERS: dict[str, Make] = {
    "svg": lambda one: svg_pieces(drawn(one)),
    "dxf": lambda one: dxf_pieces(drawn(one)),
    "json": lambda one: schedule_json(one.build, one.shop, 1, one.as_of, MM),
    "csv": lambda one: csv_pieces(table("holes", one.build, one.shop, 1, MM)),
    "xlsx": lambda one: xlsx_pieces(all_tables(one.build, one.shop, 1, MM)),
}
MARKS = {"svg": b"<use ", "dxf": b"\nINSERT\n", "json": b'"name":', "csv": b",top,"}
"""What stands in a document once a hole."""


@cache
def _large(count: int) -> Made:
    return large(count)


def _holes(one: Made) -> int:
    return sum(group.count for group in one.build.holes)


def _rows(book: Iterator[bytes]) -> int:
    """Rows of the first sheet that a reader finds."""
    with ZipFile(BytesIO(b"".join(book))) as package:
        return package.read("xl/worksheets/sheet1.xml").count(b"<row ")


def _measured(make: Make, one: Made, mark: bytes) -> tuple[int, int, int]:
    """Marks, the longest piece, and the most memory that was held at once, in bytes."""
    found, longest = 0, 0
    tracemalloc.start()
    for piece in make(one):
        found += piece.count(mark)
        longest = max(longest, len(piece))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return found, longest, peak


@pytest.mark.parametrize(("kind", "count"), [("svg", 100_000), ("dxf", 100_000), ("json", 20_000), ("csv", 20_000)])
def test_many_times_the_holes_take_no_more_memory(kind: str, count: int) -> None:
    for piece in MAKERS[kind](_large(1_000)):
        assert piece  # the first run loads what later ones have
    small = _measured(MAKERS[kind], _large(1_000), MARKS[kind])
    big = _measured(MAKERS[kind], _large(count), MARKS[kind])
    assert _holes(_large(count)) > 0.99 * count
    # What the marks find beside holes, such as the names of parts, is found on both plates.
    assert big[0] - small[0] == _holes(_large(count)) - _holes(_large(1_000))
    assert big[1] < 400_000
    assert big[2] < small[2] + 1_000_000


def test_a_workbook_of_many_times_the_holes_takes_no_more_memory() -> None:
    make, big = MAKERS["xlsx"], _large(20_000)
    assert _rows(make(big)) == _holes(big) + 1
    small, large = (_measured(make, one, b"")[1:] for one in (_large(1_000), big))
    assert large[0] < 100_000
    assert large[1] < small[1] + 1_000_000


def test_the_small_picture_of_a_large_plate_is_small_and_says_how_many_holes_there_are() -> None:
    one = _large(100_000)
    picture = plate_picture(one.build)
    assert len(picture) < 3_000
    counts = [f"{group.count:,} {group.kind}" for group in one.build.holes]
    said = [text.text for text in parsed(picture).iter(f"{SVG}text")]
    assert set(counts) <= set(said)


def test_more_holes_than_are_drawn_are_refused_before_any_is() -> None:
    build = large(MOST_HOLES + 20_000).build
    with pytest.raises(Refusal) as refused:
        limited(build)
    (fault,) = refused.value.faults
    assert fault.pointer == "/plate/pattern"
    assert f"accepted: a plate of at most {MOST_HOLES} holes" in fault.message
    assert limited(_large(1_000).build) is _large(1_000).build
