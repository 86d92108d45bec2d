"""Each type that a third party's module can declare has its cell, comes back as it was, and refuses what it is not."""

from collections.abc import Mapping
from datetime import date, datetime
from io import BytesIO
from typing import Any, Literal

import openpyxl
import pytest
from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import CostModule, Length, PerPiece, Rate, Share
from tallyplate.rates.card import RateCard
from tallyplate.rates.files import DataError, written
from tallyplate.rates.inherit import resolve
from tallyplate.rates.load import rate_card
from tallyplate.rates.sheet import rows
from tallyplate.rates.sheet_cells import Cell
from tallyplate.rates.sheet_export import SHEET, workbook
from tallyplate.rates.sheet_import import imported
from tests.misbehaving import module
from tests.plates import installation
from tests.rates.sheets import DEMO, edited, put


class PerMetre(Rate):
    """Money per metre."""

    unit = "m"


class Band(Struct, forbid_unknown_fields=True):
    """A price up to a length."""

    up_to: Length
    price: PerMetre
    names: tuple[str, ...] = ()


class Coat(Struct, forbid_unknown_fields=True):
    """One field of each type."""

    on: bool
    off: bool
    count: int
    shrinkage: float
    tiny: float
    since: date
    founded: date
    mode: Literal["dip", "spray"]
    reach: Length
    rail: PerMetre
    waste: Share
    grid: tuple[tuple[int, ...], ...]
    bands: tuple[Band, ...]
    by_colour: dict[str, dict[str, PerPiece]]
    note: str | None = None


COAT = """
[coat]
on = true
off = false
count = -123456789012345678
shrinkage = 0.125
tiny = 1e-7
since = 2026-02-28
founded = 1872-05-06      # before the days that spreadsheets count
mode = "dip"
reach = "1 7/8 in"
rail = "0.000000000001 USD/m"
waste = "5 %"
grid = [[1, 2], [], [3]]
by_colour = { red = {}, "RAL 9005" = { matt = "123456789012.123456789012 USD/piece" } }
note = "3 mm"             # looks like a figure, and is a name

[[coat.bands]]            # the short ones
up_to = "600mm"
price = "9.40 USD/m"
names = ["a", "b"]
[[coat.bands]]
up_to = "2 m"
price = "8 USD/m"
"""


def _modules() -> Mapping[str, CostModule]:
    return {**installation().modules, "coat": replace(module(list), rates=Coat)}


def _loaded(text: str) -> RateCard:
    resolved, _ = resolve({"": written("card.toml", text.encode())})
    return rate_card(resolved[""], _modules())


def _content() -> bytes:
    return workbook([*rows(_loaded(DEMO + COAT), _modules(), {"card.toml": DEMO + COAT})])


@pytest.mark.parametrize("saved_again", [False, True])
def test_every_type_comes_back_as_it_was(saved_again: bool) -> None:
    content = edited(_content()) if saved_again else _content()
    back = imported("card.xlsx", content, _modules())
    assert back.card.resolved.data["coat"] == _loaded(DEMO + COAT).resolved.data["coat"]
    assert back.card.digest == _loaded(back.toml).digest == _loaded(DEMO + COAT).digest
    assert "# the short ones" in back.toml


def test_each_type_has_the_cell_that_a_spreadsheet_has_for_it() -> None:
    sheet = openpyxl.load_workbook(BytesIO(_content()))[SHEET]
    cells = {row[1].value: (row[2].value, row[3].value) for row in sheet.iter_rows() if row[0].value == "coat"}
    assert cells == {
        "on": (True, None),
        "off": (False, None),
        "count": ("'-123456789012345678", None),
        "shrinkage": (0.125, None),
        "tiny": ("1e-07", None),
        "since": (datetime(2026, 2, 28), None),  # noqa: DTZ001 - a spreadsheet's dates know no zone
        "founded": ("1872-05-06", None),
        "mode": ("dip", None),
        "reach": ("1 7/8", "in"),
        "rail": (1e-12, "USD/m"),
        "waste": (5, "%"),
        "note": ("3 mm", None),
    }


@pytest.mark.parametrize(
    ("key", "figure", "says"),
    [
        ("on", "yes", "found 'yes'; accepted: TRUE or FALSE"),
        ("on", 1, "found 1; accepted: TRUE or FALSE"),
        ("count", "many", "found 'many'; accepted: a whole number"),
        ("count", True, "found True; accepted: a whole number"),
        ("shrinkage", "none", "found 'none'; accepted: a number"),
        ("since", "5", "found '5'; accepted: a date, such as 2026-01-01"),
        ("reach", "far", "'far in' is not a length"),
    ],
)
def test_each_type_refuses_what_it_is_not(key: str, figure: Any, says: str) -> None:
    with pytest.raises(DataError, match="column figure: ") as raised:
        imported("card.xlsx", edited(_content(), put("coat", key, figure=figure)), _modules())
    assert says in str(raised.value)


def test_a_figure_that_a_sheet_cannot_hold_is_named() -> None:
    class Clock(Struct):
        at: datetime

    resolved, _ = resolve({"": written("card.toml", f"{DEMO}\n[clock]\nat = 2026-01-01T07:00:00\n".encode())})
    modules = {**installation().modules, "clock": replace(module(list), rates=Clock)}
    with pytest.raises(DataError, match=r"clock\.at: datetime 2026-01-01 07:00:00 is nothing that a sheet can hold"):
        workbook([*rows(rate_card(resolved[""], modules), modules, {})])


@pytest.mark.parametrize(
    ("number", "number_format", "text"),
    [
        (9.4, "General", "9.4"),
        (9.4, "0.00", "9.40"),
        (9.4, '"$"#,##0.00', "9.40"),
        (9.456, "0.00", "9.456"),
        (9.0, "General", "9"),
        (9, "0.00", "9.00"),
        # Spreadsheets store what binary makes of a sum, and show fifteen digits of it.
        (0.1 + 0.2, "General", "0.3"),
        (1.1 * 3, "0.00", "3.30"),
        (4.35 * 100, "General", "435"),
        (1e-7, "General", "0.0000001"),
        (1e15, "General", "1000000000000000"),
        (0.07, "0%", "7"),
        (0.075, "0%", "7.5"),
        (0.08, "0.00%", "8.00"),
    ],
)
def test_a_typed_number_has_the_decimals_that_a_person_sees_and_none_that_binary_adds(
    number: float, number_format: str, text: str
) -> None:
    assert Cell(number, number_format).text == text
