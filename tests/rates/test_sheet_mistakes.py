"""What somebody does wrong in a sheet is told by row and column: what was found, and what is accepted."""

import re
from collections.abc import Callable
from datetime import datetime, time
from typing import Any

import pytest

from tallyplate.rates.files import DataError
from tests.rates.sheets import DEMO, edited, exported, put, read, row_of

GOOD = exported(DEMO)
DAY = datetime(2013, 2, 1)  # noqa: DTZ001 - a spreadsheet's dates know no zone
Edit = Callable[[Any], object]


def problems(edit: Edit) -> tuple[str, ...]:
    """What is said of the demonstration's card after an edit."""
    with pytest.raises(DataError) as raised:
        read(edited(GOOD, edit))
    return raised.value.problems


WRAP = ("packing", "wrap")

CELLS: list[tuple[tuple[str, str], dict[str, Any], str]] = [
    # An empty figure, and a formula or an error in any column.
    (WRAP, {"figure": None}, "column figure: found nothing; accepted: a number, or no row at all"),
    (WRAP, {"figure": "   "}, "column figure: found '   '; accepted: a number, or no row at all"),
    (("", "currency"), {"figure": None}, "column figure: '' is not an ISO 4217 currency code"),
    (("", "id"), {"figure": None}, "column figure: found nothing; accepted: text, or no row at all"),
    (WRAP, {"figure": "=C5*1.05"}, "column figure: found the formula '=C5*1.05'; accepted: the value itself"),
    (WRAP, {"unit": '=HYPERLINK("http://a/")'}, "column unit: found the formula '=HYPERLINK("),
    (WRAP, {"comment": "=1"}, "column comment: found the formula '=1'; accepted: the value itself"),
    (WRAP, {"figure": "#REF!"}, "column figure: found the error '#REF!'; accepted: the value itself"),
    # What is no number.
    (WRAP, {"figure": "9,40"}, "column figure: '9,40 USD/m2' is not a figure; write a number and a unit, such as"),
    (WRAP, {"figure": -9.4}, "column figure: '-9.40 USD/m2' is negative; accepted: 0 USD/m2 or more"),
    (WRAP, {"figure": "ask Harrow"}, "column figure: 'ask Harrow USD/m2' is not a figure"),
    (WRAP, {"figure": True}, "column figure: found True; accepted: a number"),
    (WRAP, {"figure": DAY}, "column figure: found 2013-02-01 00:00:00; accepted: a number"),
    (WRAP, {"figure": 1e30}, "column figure: '1000000000000000000000000000000.00 USD/m2' is not a figure"),
    # Units.
    (WRAP, {"unit": None}, "column unit: '5.80' has the dimension of a plain number; expected a figure in USD/m2"),
    (WRAP, {"unit": "USD/kg"}, "column unit: '5.80 USD/kg' has the dimension of USD/kg; expected a figure in USD/m2"),
    (WRAP, {"unit": "USD/parsec"}, "column unit: '5.80 USD/parsec' has an unknown unit; expected a figure in USD/m2"),
    (WRAP, {"unit": "EUR/m2"}, "column unit: '5.80 EUR/m2' has the dimension of EUR/m2; expected a figure in USD/m2"),
    (WRAP, {"unit": DAY}, "column unit: found 2013-02-01 00:00:00; accepted: text; format the cell as text before"),
    (
        ("", "rounding"),
        {"unit": "USD"},
        "column unit: found 'USD'; accepted: nothing, since no unit belongs",
    ),
    # Other types.
    (
        ("", "effective_from"),
        {"figure": "first of May"},
        "column figure: found 'first of May'; accepted: a date,",
    ),
    (
        ("", "effective_from"),
        {"figure": DAY.replace(hour=7)},
        "column figure: found 2013-02-01 07:00:00; accepted: a date, such as 2026-01-01",
    ),
    (("", "effective_from"), {"figure": time(7)}, "column figure: found 07:00:00; accepted: a date, such as"),
    (("", "effective_from"), {"figure": "46023"}, "column figure: found '46023'; accepted: a date, such as"),
    (("", "id"), {"figure": DAY}, "column figure: found 2013-02-01 00:00:00; accepted: text"),
    (
        ("inserts.bushing.M12.breaks[2]", "from"),
        {"figure": 50.5},
        "column figure: found 50.5; accepted: a whole",
    ),
    # Sections and keys.
    (WRAP, {"key": None}, "column key: found nothing; accepted: wrap, crate"),
    (WRAP, {"key": "paper"}, "column key: 'paper' is unknown here; accepted: wrap, crate"),
    (WRAP, {"key": '"wrap'}, "column key: found '\"wrap'; accepted: wrap, crate"),
    (WRAP, {"key": "[1]"}, "column key: '[1]' is unknown here; accepted: wrap, crate"),
    (WRAP, {"key": DAY}, "column key: found 2013-02-01 00:00:00; accepted: text; format the cell as text before you"),
    (
        WRAP,
        {"section": "painting"},
        "column section: 'painting' is unknown here; accepted: id, effective_from,",
    ),
    (WRAP, {"section": "half round"}, "column section: found 'half round'; accepted: names joined by dots, such as"),
    (WRAP, {"section": r'"\ud800"'}, "column section: found "),
    (WRAP, {"section": None}, "column key: 'wrap' is unknown here; accepted: id, effective_from,"),
    (WRAP, {"section": True}, "column section: found True; accepted: text"),
    (("finishing.as_machined", "[1]"), {"key": "[0]"}, "column key: found '[0]'; accepted: [1], [2] and so on"),
    (("finishing.as_machined", "[1]"), {"key": "first"}, "column key: 'first' is unknown here; accepted: [1], [2] and"),
    (
        ("stock.price.al-cast", "precision plate"),
        {"section": "stock.cut"},
        "column key: 'precision plate' is unknown here; accepted: nothing",
    ),
]


@pytest.mark.parametrize(("at", "cells", "says"), CELLS, ids=repr)
def test_a_wrong_cell_is_named_by_row_and_column_with_what_is_accepted(
    at: tuple[str, str], cells: dict[str, Any], says: str
) -> None:
    rows: list[int] = []

    def edit(sheet: Any) -> None:
        rows.append(row_of(sheet, *at))
        put(*at, **cells)(sheet)

    (problem,) = problems(edit)
    assert problem.startswith(f"card.xlsx: row {rows[0]}, {says}")
    assert len(problem) < 600


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (["packing", "wrap", 50, "USD/m2"], "key: is stated by row {} already; accepted: once"),
        (["finishing", "finish", "{}"], "key: is stated by rows of its own already; accepted: once"),
        (["finishing", "as_machined", "[]"], "key: is stated by rows of its own already; accepted: once"),
        (["finishing", "as_machined", "plain"], "figure: found 'plain'; accepted: [] where it is empty; else each of"),
        (["finishing", "finish", "none"], "figure: found 'none'; accepted: {} where it is empty; else each of its"),
    ],
    ids=repr,
)
def test_a_row_too_many_is_named(row: list[Any], says: str) -> None:
    rows: list[int] = []

    def edit(sheet: Any) -> None:
        sheet.append(row)
        rows.extend((sheet.max_row, row_of(sheet, "packing", "crate") - 1))

    (problem,) = problems(edit)
    assert problem.startswith(f"card.xlsx: row {rows[0]}, column {says.replace('row {}', f'row {rows[1]}')}")


def test_a_share_that_is_shown_as_a_percentage_has_no_other_unit() -> None:
    def edit(sheet: Any) -> None:
        sheet.cell(row_of(sheet, *WRAP), 3).number_format = "0.0%"

    (problem,) = problems(edit)
    assert problem.endswith("column unit: found 'USD/m2'; accepted: %, since the figure is shown as a percentage")


def test_a_table_that_is_said_to_be_empty_has_no_rows() -> None:
    def edit(sheet: Any) -> None:
        sheet.insert_rows(2)
        sheet["A2"], sheet["B2"], sheet["C2"] = "finishing", "finish", "{}"

    assert {problem.partition(", ")[2] for problem in problems(edit)} == {
        "column section: row 2 states that nothing stands here"
    }


def test_all_wrong_cells_are_told_at_once() -> None:
    def edit(sheet: Any) -> None:
        for section, key in (WRAP, ("margin", "of_price"), ("minimum", "order")):
            put(section, key, figure="dear")(sheet)

    assert len(problems(edit)) == 3


def _delete(*at: str) -> Edit:
    return lambda sheet: sheet.delete_rows(row_of(sheet, *at))


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (_delete(*WRAP), r"row \d+: packing\.wrap: is required and missing"),
        (_delete("margin", "of_price"), r"row 1: margin: this section is missing; it states of_price"),
        (_delete("", "id"), r"row 1: id: is required and missing"),
        (_delete("inserts.bushing.M12.breaks[2]", "from"), r"row \d+: inserts\.bushing\.M12\.breaks\.1\.from: is req"),
        (put("", "id", figure="my card"), r"row \d+: id: .*'my card'"),
        (put("", "rounding", figure="up"), r"row \d+: rounding: .*'up'"),
        (put("", "time_zone", figure="Mars"), r"row \d+: time_zone: 'Mars' is not a time zone"),
        (put("margin", "of_price", figure=100), r"row \d+: margin: .*"),
        (put("inserts.bushing.M12.breaks[1]", "from", figure=2), r"row \d+: inserts\.bushing\.M12: breaks start from"),
    ],
)
def test_what_any_card_is_held_to_is_told_with_the_row_too(edit: Edit, says: str) -> None:
    (problem,) = problems(edit)
    assert re.match(rf"card\.xlsx: {says}", problem)


def test_a_problem_of_a_list_that_closed_up_has_the_row_that_states_it() -> None:
    def edit(sheet: Any) -> None:
        sheet.delete_rows(row_of(sheet, "inserts.bushing.M12.breaks[2]", "from"), 2)
        put("inserts.bushing.M12.breaks[3]", "price", figure=5)(sheet)
        sheet.delete_rows(row_of(sheet, "inserts.bushing.M12.breaks[3]", "from"))
        rows.append(row_of(sheet, "inserts.bushing.M12.breaks[3]", "price"))

    rows: list[int] = []
    (problem,) = problems(edit)
    assert problem == f"card.xlsx: row {rows[0]}: inserts.bushing.M12.breaks.1.from: is required and missing"


def test_a_sheet_without_a_currency_says_which_row_it_wants() -> None:
    (problem,) = problems(_delete("", "currency"))
    assert problem == (
        "card.xlsx: no row states the currency; accepted: a row with an empty section, the key currency and a figure "
        "such as USD"
    )


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("units", "section, key, figure, units, comment, origin"),
        (None, "section, key, figure, comment, origin"),
        ("figure", "section, key, figure, figure, comment, origin"),
    ],
)
def test_a_column_that_is_renamed_missing_or_there_twice_is_named(name: str | None, found: str) -> None:
    (problem,) = problems(lambda sheet: setattr(sheet["D1"], "value", name))
    wrong = "figure" if name == "figure" else "unit"
    assert problem == f"card.xlsx: row 1: column '{wrong}' must stand there once; found: {found}"


@pytest.mark.parametrize("edit", [lambda sheet: sheet.insert_rows(1), lambda sheet: sheet.delete_rows(1, 10_000)])
def test_the_first_row_names_the_columns(edit: Edit) -> None:
    (problem,) = problems(edit)
    assert problem == "card.xlsx: row 1: column 'section' must stand there once; found: nothing"


def test_the_sheet_of_the_card_keeps_its_name() -> None:
    (problem,) = problems(lambda sheet: setattr(sheet, "title", "Rates 2027"))
    assert problem == "card.xlsx: sheet 'Rate card' is missing; found: Rates 2027"
