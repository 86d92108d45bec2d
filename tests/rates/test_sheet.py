"""Rate cards as spreadsheets: out and back is the same card, and an edit changes what was edited and nothing else."""

import tomllib
from datetime import date, datetime
from io import BytesIO
from typing import Any

import openpyxl
import pytest

from tallyplate.rates.comments import comments
from tallyplate.rates.sheet_export import SHEET
from tallyplate.rates.toml_text import document
from tests.rates.sheets import DEMO, data, edited, exported, loaded, put, read, row_of, stated

HEIR = """\
# Mill time is dearer from July on.

id = "heir"
inherits = "harrow-pell-2026-01"  # all else stays
effective_from = 2026-07-01

[work_centers]
mill = "99.50 USD/h"  # the new spindle

[inserts.bushing]
M12 = { breaks = [{ from = 1, price = "9.10 USD/piece" }] }
# end
"""


def _sheet(content: bytes) -> Any:
    return openpyxl.load_workbook(BytesIO(content))[SHEET]


def _differences(before: Any, after: Any, path: str = "") -> dict[str, tuple[Any, Any]]:
    """Where two cards differ, and how."""
    if isinstance(before, dict) and isinstance(after, dict):
        keys = before.keys() | after.keys()
        parts = (_differences(before.get(key), after.get(key), f"{path}.{key}") for key in keys)
        return {at: change for part in parts for at, change in part.items()}
    return {} if before == after else {path: (before, after)}


@pytest.mark.parametrize("texts", [(DEMO,), (DEMO, HEIR)], ids=["whole", "heir"])
@pytest.mark.parametrize("saved_again", [False, True])
def test_out_and_back_is_the_same_card_with_units_comments_and_digest(
    texts: tuple[str, ...], saved_again: bool
) -> None:
    content = exported(*texts)
    back = read(edited(content) if saved_again else content)
    before = loaded(*texts)
    assert back.card.digest == before.digest
    assert back.card.resolved.data == before.resolved.data == data(back.toml)
    assert loaded(back.toml).digest == before.digest
    said = [(row.section, row.key, row.figure, row.unit, row.comment) for row in stated(*texts)]
    assert [(row.section, row.key, row.figure, row.unit, row.comment) for row in stated(back.toml)] == said


def test_what_comes_back_is_laid_out_for_people() -> None:
    toml = read(exported(DEMO)).toml
    assert toml.startswith("# Rate card of Harrow & Pell Fixture Works")
    assert toml.endswith('"450 USD"\n')
    assert "\n\n\n" not in toml
    assert max(map(len, toml.splitlines())) <= 110
    assert 'rounding = "half-up"  # of half a cent; the other choice is "half-even"\n' in toml
    assert "\n\n[stock.price]  # by material, then by form\nal-6061-t6 = { plate = " in toml
    assert '\n[inserts.bushing.M12]\nbreaks = [\n    { from = 1, price = "8.90 USD/piece" },\n' in toml
    for comment in comments(DEMO).values():
        assert comment.splitlines()[-1] in toml


def test_an_heir_comes_back_in_full_with_its_own_and_its_parents_comments() -> None:
    toml = read(exported(DEMO, HEIR)).toml
    assert toml.startswith("# Mill time is dearer from July on.\n# all else stays\n\n")
    assert "inherits" not in toml
    assert "# end" not in toml
    assert 'mill = "99.50 USD/h"  # the new spindle\n' in toml
    assert "[stock.price]  # by material, then by form\n" in toml
    assert "Rate card of Harrow & Pell" not in toml


def test_what_a_parent_says_of_a_figure_is_not_said_of_the_one_that_replaced_it() -> None:
    heir = HEIR.replace("[inserts.bushing]", '[margin]\nof_price = "24 %"\n\n[inserts.bushing]')
    toml = read(exported(DEMO, heir)).toml
    assert 'of_price = "24 %"\n' in toml
    assert "not a mark-up on cost" in DEMO
    assert "not a mark-up on cost" not in toml


def test_the_origin_of_a_figure_is_the_line_that_states_it_and_the_card_it_is_inherited_from() -> None:
    origins = {(row.section, row.key): row.origin for row in stated(DEMO, HEIR) if row.figure is not None}
    assert origins["work_centers", "mill"] == "1.toml:8"
    assert origins["work_centers", "saw"] == "0.toml:11, inherited from harrow-pell-2026-01"
    assert origins["inserts.bushing.M12.breaks[1]", "price"] == "1.toml:11"


def test_a_person_sees_numbers_apart_from_units_and_a_row_a_price_break() -> None:
    sheet = _sheet(exported(DEMO))
    assert [cell.value for cell in sheet[1]] == ["section", "key", "figure", "unit", "comment", "origin"]
    row = sheet[row_of(sheet, "stock.price.al-6061-t6", "precision plate")]
    assert [cell.value for cell in row[:4]] == ["stock.price.al-6061-t6", "precision plate", 9.4, "USD/kg"]
    assert row[2].number_format == "0.00"
    breaks = [
        [cell.value for cell in row[1:4]]
        for row in sheet.iter_rows()
        if str(row[0].value).startswith('inserts.thread_insert."3/8-16".breaks[2]')
    ]
    assert breaks == [["from", 101, None], ["price", 0.8, "USD/piece"]]
    assert sheet.cell(row_of(sheet, "", "effective_from"), 3).is_date


def test_all_but_figures_is_text_to_a_spreadsheet_also_in_rows_that_are_added() -> None:
    # Else a spreadsheet takes the screw 1/2-13 for a day in January as soon as somebody types it again.
    sheet = _sheet(exported(DEMO))
    screw = sheet.cell(row_of(sheet, "mounting.key", "1/2-13"), 2)
    assert (screw.value, screw.number_format) == ("1/2-13", "@")
    formats = {letter: column.number_format for letter, column in sheet.column_dimensions.items()}
    assert formats == dict.fromkeys("ABDEF", "@") | {"C": "General"}


@pytest.mark.parametrize(
    ("section", "key", "cells", "change"),
    [
        # A number that is typed keeps the decimals that the cell shows, and all that it has.
        ("packing", "wrap", {"figure": 6.25}, {".packing.wrap": ("5.80 USD/m2", "6.25 USD/m2")}),
        ("packing", "wrap", {"figure": 6.1}, {".packing.wrap": ("5.80 USD/m2", "6.10 USD/m2")}),
        ("packing", "wrap", {"figure": 6.1234}, {".packing.wrap": ("5.80 USD/m2", "6.1234 USD/m2")}),
        ("packing", "wrap", {"figure": 0.1 + 0.2}, {".packing.wrap": ("5.80 USD/m2", "0.30 USD/m2")}),
        ("packing", "wrap", {"figure": "6.1"}, {".packing.wrap": ("5.80 USD/m2", "6.1 USD/m2")}),
        ("packing", "wrap", {"figure": " 6.1 ", "unit": " USD/m2 "}, {".packing.wrap": ("5.80 USD/m2", "6.1 USD/m2")}),
        ("work_centers", "saw", {"figure": 9.4}, {".work_centers.saw": ("58 USD/h", "9.4 USD/h")}),
        ("work_centers", "saw", {"figure": 1e-7}, {".work_centers.saw": ("58 USD/h", "0.0000001 USD/h")}),
        ("work_centers", "saw", {"figure": 60.0}, {".work_centers.saw": ("58 USD/h", "60 USD/h")}),
        ("work_centers", "saw", {"figure": 1, "unit": "USD/min"}, {".work_centers.saw": ("58 USD/h", "1 USD/min")}),
        ("work_centers", "saw", {"key": "band saw"}, {".work_centers.saw": ("58 USD/h", None)}),
        ("", "id", {"figure": 2027}, {".id": ("harrow-pell-2026-01", "2027")}),
        (
            "",
            "effective_from",
            {"figure": datetime(2026, 7, 1)},  # noqa: DTZ001 - a spreadsheet's dates know no zone
            {".effective_from": (date(2026, 1, 1), date(2026, 7, 1))},
        ),
        ("", "effective_from", {"figure": "2026-07-01"}, {".effective_from": (date(2026, 1, 1), date(2026, 7, 1))}),
    ],
    ids=repr,
)
def test_an_edited_cell_changes_its_figure_and_no_other(
    section: str, key: str, cells: dict[str, Any], change: dict[str, Any]
) -> None:
    back = read(edited(exported(DEMO), put(section, key, **cells)))
    found = _differences(loaded(DEMO).resolved.data, data(back.toml))
    assert {at: found[at] for at in change} == change
    assert len(found) == len(change) + ("key" in cells)


def test_a_share_typed_with_a_percent_sign_is_not_taken_for_a_hundredth() -> None:
    # Typing "9 %" into a cell makes a spreadsheet store 0.09 and show it as a percentage.
    def edit(sheet: Any) -> None:
        cell = sheet.cell(row_of(sheet, "overhead", "on_purchases"), 3)
        cell.value, cell.number_format = 0.09, "0%"

    assert data(read(edited(exported(DEMO), edit)).toml)["overhead"]["on_purchases"] == "9 %"


def _move(sheet: Any) -> None:
    """Every row below the header in the opposite order, columns too, with more of them beside."""
    lines = [[cell.value for cell in row] for row in sheet.iter_rows()]
    formats = {(line[0], line[1]): sheet.cell(at, 3).number_format for at, line in enumerate(lines, start=1)}
    sheet.delete_rows(1, len(lines))
    sheet.append(["note", *(name.upper() for name in reversed(lines[0]))])
    sheet.append([])
    for line in reversed(lines[1:]):
        sheet.append(["=NOW()", *reversed(line)])
        sheet.cell(sheet.max_row, 5).number_format = formats[line[0], line[1]]


def test_rows_and_columns_may_be_sorted_spread_and_added_to() -> None:
    assert read(edited(exported(DEMO), _move)).card.digest == loaded(DEMO).digest


def test_rows_are_added_and_taken_away_and_the_places_of_a_list_close_up() -> None:
    def edit(sheet: Any) -> None:
        first = row_of(sheet, "inserts.bushing.M12.breaks[2]", "from")
        sheet.delete_rows(first, 2)
        sheet.append(["inserts.bushing.M12.breaks[9]", "price", 6, "USD/piece"])
        sheet.append(["inserts.bushing.M12.breaks[9]", "from", 900])
        sheet.append(["finishing.as_machined", "[2]", "brushed"])
        sheet.append(["work_centers", "paint shop", 45, "USD/h", "from the spring on"])

    back = read(edited(exported(DEMO), edit))
    assert data(back.toml)["inserts"]["bushing"]["M12"]["breaks"] == [
        {"from": 1, "price": "8.90 USD/piece"},
        {"from": 251, "price": "7.10 USD/piece"},
        {"from": 900, "price": "6 USD/piece"},
    ]
    assert data(back.toml)["finishing"]["as_machined"] == ["plain", "brushed"]
    assert '"paint shop" = "45 USD/h"  # from the spring on\n' in back.toml


ODD = [
    "=1+1",
    "+1",
    "-1",
    "@cmd",
    "\tx",
    "'=1+1",
    "''=",
    "'",
    "",
    "'tis",
    "1/2-13",
    "007",
    "3.50",
    "TRUE",
    "[]",
    "{}",
    '"',
]


@pytest.mark.parametrize("saved_again", [False, True])
def test_what_looks_like_a_formula_is_harmless_in_the_sheet_and_comes_back_unchanged(saved_again: bool) -> None:
    odd = {key: {"plate": "1 USD/kg"} for key in ODD}
    card = {**tomllib.loads(DEMO)}
    card["stock"] = {**card["stock"], "price": {**card["stock"]["price"], **odd}}
    card["finishing"] = {**card["finishing"], "as_machined": ODD}
    card["work_centers"] = {**card["work_centers"], **dict.fromkeys(ODD, "1 USD/h")}
    toml = document(card, {("stock",): "=cmd|' /C calc'!A0", ("stock", "cut"): "-2 since May"})
    content = exported(toml)
    for row in _sheet(content).iter_rows():
        for cell in row:
            assert cell.data_type != "f"
            assert not str(cell.value).startswith(tuple("=+-@\t"))
    back = read(edited(content) if saved_again else content)
    assert back.card.digest == loaded(toml).digest
    assert comments(back.toml) == comments(toml)
