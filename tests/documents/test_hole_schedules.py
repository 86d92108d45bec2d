"""Hole schedules and parts lists: complete, named as engraved, and in agreement with the priced lines."""

import csv
import io
import re
from collections import Counter
from typing import Any, Final

import openpyxl
import pytest

from tallyplate.contract import Bore, Hole, Thread
from tallyplate.documents.measures import MEASURES
from tallyplate.documents.schedules.sheets import TableName, all_tables, table
from tallyplate.documents.schedules.steps import in_words, steps
from tallyplate.documents.streams import csv_pieces
from tallyplate.documents.workbook import xlsx_pieces
from tests.documents.plates import BASES, made, places, schedule
from tests.plates import installation

EVERY: Final = pytest.mark.parametrize("name", BASES)
MM: Final = MEASURES["mm"]
HOLES: Final = re.compile(r"(\w+) holes(?:, (.*))?\Z")
PER_PLATE: Final = re.compile(r"(\d+) a plate")


def _rows(name: str, which: TableName, unit: str = "mm") -> list[dict[str, str]]:
    one = made(name)
    pieces = csv_pieces(table(which, one.build, one.shop, one.inquiry.quantity, MEASURES[unit]))
    return list(csv.DictReader(io.StringIO(b"".join(pieces).decode("utf-8-sig"), newline="")))


@EVERY
def test_counts_by_kind_and_face_are_those_of_the_priced_lines(name: str) -> None:
    one = made(name)
    mounting = {group.kind for group in one.build.holes if group.mounting}
    listed: Counter[tuple[str, str]] = Counter()
    for hole in schedule(one)["holes"]:
        # Only a pattern's holes are priced face by face, and a plate's top is not named.
        told = hole["kind"] not in mounting and hole["face"] != "top"
        listed[hole["kind"], hole["face"] if told else ""] += 1
    priced: Counter[tuple[str, str]] = Counter()
    for line in installation().price(BASES[name]).lines:
        kind = HOLES.match(line.item)
        if line.module in {"holes", "mounting"} and kind:
            count = PER_PLATE.match(line.basis)
            assert count
            priced[kind[1], kind[2] or ""] += int(count[1])
    assert listed == priced


@EVERY
def test_parts_are_those_of_the_priced_lines(name: str) -> None:
    priced: dict[str, tuple[int, int]] = {}
    for line in installation().price(BASES[name]).lines:
        if line.module in {"inserts", "mounting"} and line.unit == "piece":
            each = PER_PLATE.match(line.basis)
            assert each
            # A price list in steps has a line a step, whose pieces are one part.
            before = priced.get(line.item, (0, 0))[1]
            priced[line.item] = int(each[1]), before + int(line.quantity)
    parts = [part for part in schedule(made(name))["parts"] if part["kind"] != "stock"]
    assert sorted((part["each"], part["total"]) for part in parts) == sorted(priced.values())
    for part in parts:
        size = part["designation"].partition(",")[0]
        assert (part["each"], part["total"]) in [count for item, count in priced.items() if item.endswith(f" {size}")]


@EVERY
def test_the_stock_of_the_parts_list_is_the_blank_that_is_priced(name: str) -> None:
    one, (stock, *_) = made(name), schedule(made(name))["parts"]
    assert one.build.blank.form in stock["designation"]
    assert stock["total"] == one.inquiry.quantity
    (line,) = [line for line in installation().price(BASES[name]).lines if line.module == "stock"][:1]
    assert one.build.blank.form in f"{line.item} {line.basis}"


@EVERY
def test_types_sum_to_the_holes_and_tables_say_what_the_json_says(name: str) -> None:
    listed = schedule(made(name))
    assert listed["hole_count"] == len(listed["holes"]) == sum(one["count"] for one in listed["types"])
    assert Counter(hole["type"] for hole in listed["holes"]) == {one["type"]: one["count"] for one in listed["types"]}
    rows = _rows(name, "holes")
    assert [(row["face"], row["name"], row["kind"]) for row in rows] == [
        (hole["face"], hole["name"], hole["kind"]) for hole in listed["holes"]
    ]
    assert [(row["x mm"], row["y mm"]) for row in rows] == [(hole["x"], hole["y"]) for hole in listed["holes"]]
    assert [int(row["each plate"]) for row in _rows(name, "types")] == [one["count"] for one in listed["types"]]
    assert [int(row["whole order"]) for row in _rows(name, "parts")] == [one["total"] for one in listed["parts"]]


@EVERY
def test_names_on_a_face_are_unique_also_where_two_lattices_share_it(name: str) -> None:
    assert places(schedule(made(name)))


def test_names_are_those_that_are_engraved_and_that_findings_use() -> None:
    listed = places(schedule(made("alternating")))
    assert listed["top", "C1"] == (105.0, 35.0)
    assert listed["top", "A11"] == (35.0, 385.0)
    given_up = schedule(made("alternating"))["given_up"]
    (found,) = [one for one in made("alternating").findings if one.code == "given-up"]
    assert given_up
    assert all(f"{one['name']} ({one['kind']})" in found.message for one in given_up)
    assert not {("top", one["name"]) for one in given_up} & set(listed)


def test_the_finest_lattice_has_the_plain_names_and_the_other_has_primes() -> None:
    kinds = {hole["kind"]: hole["name"] for hole in schedule(made("separate"))["holes"]}
    assert kinds["locating"][-1].isdigit()
    assert kinds["tapped"].endswith("'")


def test_inches_are_the_same_places() -> None:
    metric, inch = places(schedule(made("usual"))), places(schedule(made("usual"), "in"))
    assert metric.keys() == inch.keys()
    for key, (x, y) in metric.items():
        assert inch[key] == pytest.approx((x / 25.4, y / 25.4), abs=1e-5)
    assert inch["top", "A1"] == (1.0, 1.0)


def test_a_workbook_has_all_tables_with_figures_as_figures() -> None:
    one = made("alternating")
    book = b"".join(xlsx_pieces(all_tables(one.build, one.shop, 2, MM)))
    read = openpyxl.load_workbook(io.BytesIO(book))
    assert read.sheetnames == ["Holes", "Types of hole", "Parts"]
    header, first, *rest = read["Holes"].iter_rows(values_only=True)
    assert header[4:6] == ("x mm", "y mm")
    assert first[:6] == ("C1", "top", "combination", 1, 105, 35)
    assert len(rest) + 1 == sum(group.count for group in one.build.holes)
    assert [row[5] for row in read["Parts"].iter_rows(values_only=True)][1:] == [
        part["total"] for part in schedule(one)["parts"]
    ]


def test_kinds_are_words_with_blanks_in_tables_and_names_in_json() -> None:
    listed = [part["kind"] for part in schedule(made("alternating"))["parts"]]
    assert {"holding_screw", "t_nut"} <= set(listed)
    assert [row["kind"] for row in _rows("alternating", "parts")] == [kind.replace("_", " ") for kind in listed]
    assert {row["fitted"] for row in _rows("inserted", "types")} >= {"thread insert"}


WORDS: list[tuple[Hole, list[str]]] = [
    (Hole((Bore(10.3, 40.0),), Thread("M12", 12.0, 1.75, 24.0)), ["Ø10.3 through", "M12x1.75, 24 deep"]),
    (
        Hole((Bore(10.3, 40.0), Bore(26.0, 16.0, 0.021)), Thread("M12", 12.0, 1.75, 24.0), parts=("bushing",)),
        ["Ø10.3 through", "Ø26 +0.021/0, 16 deep", "M12x1.75 through from 16"],
    ),
    (
        Hole((Bore(17.5, 40.0), Bore(26.0, 17.5, flat=True))),
        ["Ø17.5 through", "counterbore Ø26, 17.5 deep"],
    ),
    (Hole((Bore(20.0, 30.0, 0.021),), through=False), ["Ø20 +0.021/0, 30 deep"]),
    (
        Hole((Bore(12.4, 30.0),), Thread("M12", 14.27332, 1.75, 18.0), parts=("thread_insert",)),
        ["Ø12.4 through", "M12x1.75 STI, 18 deep"],
    ),
    (Hole((Bore(10.716, 40.0),), Thread("1/2-13", 12.7, 25.4 / 13, 40.0)), ["Ø10.716 through", "1/2-13 through"]),
]


@pytest.mark.parametrize(("hole", "words"), WORDS, ids=lambda value: repr(value)[:40])
def test_steps_read_as_a_drawing_calls_them_out(hole: Hole, words: list[str]) -> None:
    assert [in_words(step) for step in steps(hole, MM)] == words


@pytest.mark.parametrize(
    ("width", "unit", "said"), [(0.021, "in", "0.00082"), (0.0254, "in", "0.001"), (0.03, "mm", "0.03")]
)
def test_a_tolerance_is_never_rounded_wider(width: float, unit: str, said: str) -> None:
    assert MEASURES[unit].tolerance(width) == said
    assert float(said) * MEASURES[unit].millimetres <= width + 1e-12


def test_every_hole_tells_its_steps_and_pattern_holes_their_position_tolerance() -> None:
    for row in _rows("alternating", "holes"):
        assert row["steps mm"]
        assert row["position tolerance mm"] == ("0.03" if row["kind"] in {"combination", "tapped"} else "")


def test_bushings_and_pins_are_told_by_the_sizes_of_the_shop() -> None:
    said: dict[str, Any] = {part["kind"]: part for part in schedule(made("alternating"))["parts"]}
    shop = made("alternating").shop
    bushing = shop.screws["M12"]
    size = [MM.size(side) for side in (bushing.locating, bushing.bushing_outside, bushing.bushing_length)]
    assert said["bushing"]["designation"] == f"M12, Ø{size[0]} x Ø{size[1]} x {size[2]} mm"
    assert said["round_pin"]["designation"] == f"M16, Ø{MM.size(shop.screws['M16'].locating)} mm"
    assert said["t_nut"]["designation"] == "M16, slot 18 mm"
    assert said["holding_screw"]["standard"] == "ISO 4762"
