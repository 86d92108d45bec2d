"""Reading a portfolio: whatever the form, the same orders; whatever is wrong, said by its line."""

import csv
import io
import json
from collections.abc import Sequence
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.orders import Entry, portfolio
from tallyplate.pricing import Modules
from tallyplate.rates.files import DataError
from tallyplate.tradeoffs.impact import Impact, compared, impact
from tests.plates import MINIMAL, installation, request
from tests.strategies import CARD, Json, requests
from tests.tradeoffs.cards import card

HEADER = "plate.family,plate.length,plate.width,plate.material,quantity"
ROW = "rectangular,600 mm,400 mm,al-6061-t6,2"
ORDER = {
    "plate": {"family": "rectangular", "length": "600 mm", "width": "400 mm", "material": "al-6061-t6"},
    "quantity": 2,
}


def _read(text: str | bytes, name: str = "orders.csv") -> list[Entry]:
    content = text.encode() if isinstance(text, str) else text
    return list(portfolio(io.BytesIO(content), name))


def _columns(order: object, path: tuple[str, ...] = ()) -> dict[str, str]:
    """An order as cells by column."""
    if isinstance(order, dict | list):
        parts = order.items() if isinstance(order, dict) else enumerate(order)
        return {name: cell for step, child in parts for name, cell in _columns(child, (*path, str(step))).items()}
    return {".".join(path): json.dumps(order) if isinstance(order, bool | int) else str(order)}


def _as_csv(orders: Sequence[Json]) -> str:
    rows = [_columns(order) for order in orders]
    file = io.StringIO()
    writer = csv.DictWriter(file, list(dict.fromkeys(name for row in rows for name in row)), restval="")
    writer.writeheader()
    writer.writerows(rows)
    return file.getvalue()


def _as_ndjson(orders: Sequence[Json]) -> str:
    return "".join(json.dumps(order) + "\n" for order in orders)


def _impact(entries: list[Entry]) -> Impact:
    here, dearer = installation(), card(work_centers__mill=2)
    modules = [name for name, _ in Modules.of(here.modules).in_order]
    a, b = (lambda asked, one=one: here.price_under(asked, one) for one in (CARD, dearer))
    return impact(
        compared((Entry(place, one.request, one.faults) for place, one in enumerate(entries)), a, b), "USD", modules
    )


def _sayable(order: Json) -> bool:
    """Whether a table can say it: an empty list has no cell."""
    return [] not in _values(order)


def _values(node: Any) -> list[Any]:
    inner = node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
    return [node, *(value for one in inner for value in _values(one))]


@given(st.lists(requests().filter(_sayable), min_size=1, max_size=4))
def test_a_table_and_lines_of_json_say_the_same_orders(orders: list[Json]) -> None:
    assert [one.request for one in _read(_as_csv(orders))] == orders
    assert [one.request for one in _read(_as_ndjson(orders), "orders.ndjson")] == orders
    assert [one.request for one in _read(json.dumps(orders, indent=1), "orders.json")] == orders


def test_a_table_and_lines_of_json_have_the_same_impact() -> None:
    orders = [request(), MINIMAL, request({"/plate/material": "cheese"}), request({"/plate/pattern/bushings": False})]
    table, lines = _impact(_read(_as_csv(orders))), _impact(_read(_as_ndjson(orders), "orders.ndjson"))
    assert table == lines
    assert (table.priced, len(table.refused)) == (3, 1)
    assert table.a != table.b


def test_cells_are_text_but_for_the_quantity_and_for_yes_and_no() -> None:
    header = (
        "quantity,plate.pattern.bushings,plate.pattern.thread_inserts,plate.length,plate.pattern.screw,plate.x.quantity"
    )
    (entry,) = _read(f"{header}\n12,TRUE,false,600,1/2-13,7\n")
    pattern = {"bushings": True, "thread_inserts": False, "screw": "1/2-13"}
    assert entry.request == {"quantity": 12, "plate": {"pattern": pattern, "length": "600", "x": {"quantity": "7"}}}


def test_counts_of_a_plate_are_whole_numbers_alone_or_in_a_list() -> None:
    (entry,) = _read("plate.faces,plate.pattern.rows_left_out.0,plate.pattern.rows_left_out.1\n4,2,3\n")
    assert entry.request == {"plate": {"faces": 4, "pattern": {"rows_left_out": [2, 3]}}}


@pytest.mark.parametrize("cell", ["2.0", "1,000", "two", "-1", "1e3", "9" * 10, "\u0663"])
def test_a_quantity_that_is_no_whole_number_is_left_for_the_price_to_refuse(cell: str) -> None:
    (entry,) = _read(f'quantity\n"{cell}"\n')
    assert entry.request == {"quantity": cell}


def test_empty_cells_and_cells_at_the_end_are_left_out() -> None:
    entries = _read(f"{HEADER},plate.finish\n{ROW},\n{ROW}\n , ,,rectangular\n")
    assert [one.request for one in entries] == [ORDER, ORDER, {"plate": {"material": "rectangular"}}]


def test_steps_that_are_numbers_are_places_of_a_list() -> None:
    (entry,) = _read("plate.edges.0,plate.edges.10,plate.edges.2\nleft,top,\n")
    assert entry.request == {"plate": {"edges": ["left", "top"]}}


@pytest.mark.parametrize(
    "text",
    [
        f"\ufeff{HEADER}\n{ROW}\n",
        f"{HEADER}\r\n{ROW}\r\n",
        f"{HEADER}\n{ROW}",
        f"\n\n{HEADER}\n\n,,,,\n{ROW}\n \n",
        f"{HEADER}\n{ROW}\n".replace(",", ";"),
        f"{HEADER}\n{ROW}\n".replace(",", " , "),
        f'{HEADER}\n"rectangular","600 mm","400 mm","al-6061-t6","2"\n',
    ],
    ids=["byte order mark", "CRLF", "no last line end", "blank lines", "semicolons", "blanks", "quotes"],
)
def test_a_table_is_read_as_spreadsheets_write_it(text: str) -> None:
    assert [one.request for one in _read(text)] == [ORDER]


def test_lines_are_counted_as_an_editor_does() -> None:
    assert [one.line for one in _read(f"\n{HEADER}\n{ROW}\n\n{ROW}\n")] == [3, 5]
    assert [one.line for one in _read("\n{}\n\n{}\n", "orders.ndjson")] == [2, 4]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('rectangular,"600 mm,400 mm,al-6061-t6,2', "is not CSV"),
        ('"rectangular"x,600 mm,400 mm,al-6061-t6,2', "is not CSV"),
        (f"{ROW},", ""),
        (f"{ROW},one,more", "has 7 cells; accepted: at most the 6 of the header"),
        (f"{ROW},\xff", "is not UTF-8"),
        ("x" * 200_000, "is not CSV"),
    ],
    ids=["open quote", "stray quote", "good", "too many cells", "not UTF-8", "too long a cell"],
)
def test_a_bad_row_is_named_by_its_line_and_takes_no_other_with_it(line: str, says: str) -> None:
    text = f"{HEADER},plate.finish\n{ROW},plain\n{line}\n{ROW},plain\n"
    entries = _read(text.encode("latin-1"))
    assert [one.line for one in entries] == [2, 3, 4]
    assert [bool(one.faults) for one in entries] == [False, bool(says), False]
    assert says in "".join(fault.message for fault in entries[1].faults)


@pytest.mark.parametrize(
    ("line", "says"),
    [("{", "is not JSON"), ('{"a": 1, "a": 2}', "stands twice"), ("{} {}", "is not JSON"), ("[" * 5000, "too deep")],
    ids=["torn", "twice", "two", "deep"],
)
def test_a_bad_line_of_json_is_named_and_takes_no_other_with_it(line: str, says: str) -> None:
    entries = _read(f"{json.dumps(ORDER)}\n{line}\n{json.dumps(ORDER)}\n", "orders.ndjson")
    assert [one.line for one in entries] == [1, 2, 3]
    assert [one.request for one in entries] == [ORDER, None, ORDER]
    assert says in entries[1].faults[0].message


def test_bad_lines_are_counted_and_kept_out_of_the_totals() -> None:
    good, bad = json.dumps(MINIMAL), '{"plate": '
    with_bad = _impact(_read(f"{good}\n{bad}\n{good}\n", "orders.ndjson"))
    without = _impact(_read(f"{good}\n{good}\n", "orders.ndjson"))
    assert (with_bad.orders, with_bad.priced, len(with_bad.refused)) == (3, 2, 1)
    assert (with_bad.a, with_bad.b, with_bad.modules) == (without.a, without.b, without.modules)


@pytest.mark.parametrize(
    ("header", "says"),
    [
        ("quantity,quantity", "'quantity' stands twice"),
        ("plate,plate.length", "'plate.length' stands twice, or inside another"),
        ("plate.length,", "'' is no path"),
        ("plate..length", "'plate..length' is no path"),
        (".", "'.' is no path"),
        (".".join("abcdefghi"), "is no path"),
        ('"plate.length', "is not CSV"),
    ],
)
def test_a_header_that_cannot_be_followed_is_refused_with_its_line(header: str, says: str) -> None:
    with pytest.raises(DataError) as refused:
        _read(f"\n{header}\n1,2\n")
    assert refused.value.problems[0].startswith("orders.csv:2: ")
    assert says in str(refused.value)


def test_one_document_may_hold_one_request_or_a_list() -> None:
    assert _read(json.dumps(ORDER, indent=2), "one.json") == [Entry(1, ORDER)]
    assert _read(json.dumps([ORDER, 7]), "two.JSON") == [Entry(1, ORDER), Entry(2, 7)]
    with pytest.raises(DataError, match=r"torn\.json: is not JSON"):
        _read('{"plate":', "torn.json")


@pytest.mark.parametrize("name", ["orders.csv", "orders.ndjson"])
def test_an_empty_file_holds_no_orders(name: str) -> None:
    assert _read("", name) == _read("\n \n", name) == []


@given(st.binary(max_size=300) | st.text(alphabet=',;"\n\r.01ab{}', max_size=80).map(str.encode))
def test_no_bytes_make_the_reader_fail_otherwise_than_by_saying_so(content: bytes) -> None:
    for name in ("orders.csv", "orders.ndjson", "orders.json"):
        entries: list[Any] = []
        with suppress(DataError):
            entries = _read(content, name)
        lines = [one.line for one in entries]
        assert lines == sorted(set(lines))
        assert all(one.request is None or not one.faults for one in entries)
