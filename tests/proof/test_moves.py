"""Figures that move far from one file to the next are said, with both figures as they were written."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tallyplate import proof
from tallyplate.rates.inherit import Resolved
from tallyplate.rates.load import resolved_folder
from tests.rates.folder import write

OLD: dict[str, Any] = {
    "id": "2026",
    "effective_from": date(2026, 1, 1),
    "stock": {"cut": "3.50 USD/piece", "price": {"al 6061": "8 USD/kg"}},
    "work_centers": {"mill": "96 USD/h", "saw": "0 USD/h"},
    "margin": "22 %",
    "teeth": 6,
    "sharp": True,
    "slot": "5/8 in",
    "kind": "half-up",
    "breaks": [{"from": 1, "price": "8 USD/piece"}, {"from": 51, "price": "7 USD/piece"}],
}


def moves(folder: Path, new: dict[str, Any]) -> list[str]:
    """What is said of a file that states only what it changes."""
    write(folder / "old.toml", OLD)
    file = folder / "new.toml"
    write(file, {"inherits": "2026", "id": "4052", "effective_from": date(2026, 7, 1)} | new)
    file.write_text(f"{file.read_text()}# end\n")
    return list(proof.far_moves(in_turn(folder)))


def in_turn(folder: Path) -> list[Resolved]:
    return sorted(resolved_folder(folder).values(), key=lambda one: one.data["effective_from"])


@pytest.mark.parametrize(
    ("new", "says"),
    [
        ({"work_centers": {"mill": "960 USD/h"}}, "work_centers.mill: 96 USD/h becomes 960 USD/h (+900 %)"),
        ({"work_centers": {"mill": "9.60 USD/h"}}, "work_centers.mill: 96 USD/h becomes 9.60 USD/h (-90 %)"),
        ({"work_centers": {"mill": "2.41 USD/min"}}, "work_centers.mill: 96 USD/h becomes 2.41 USD/min (+51 %)"),
        ({"work_centers": {"saw": "58 USD/h"}}, "work_centers.saw: 0 USD/h becomes 58 USD/h"),
        ({"stock": {"price": {"al 6061": "20 USD/kg"}}}, 'stock.price."al 6061": 8 USD/kg becomes 20 USD/kg (+150 %)'),
        ({"margin": "0.34"}, "margin: 22 % becomes 0.34 (+55 %)"),
        ({"teeth": 60}, "teeth: 6 becomes 60 (+900 %)"),
        ({"slot": "1 5/8 in"}, "slot: 5/8 in becomes 1 5/8 in (+160 %)"),
        (
            {"breaks": [{"from": 1, "price": "8 USD/piece"}, {"from": 510, "price": "7 USD/piece"}]},
            "breaks.1.from: 51 becomes 510 (+900 %)",
        ),
    ],
    ids=repr,
)
def test_a_figure_that_moves_by_more_than_half_is_said_with_file_line_and_both_figures(
    tmp_path: Path, new: dict[str, Any], says: str
) -> None:
    assert moves(tmp_path, new) == [f"{tmp_path.name}/new.toml:4: {says} against {tmp_path.name}/old.toml"]


@pytest.mark.parametrize(
    "new",
    [
        {},
        {"work_centers": {"mill": "144 USD/h"}},
        {"work_centers": {"mill": "1.60 USD/min"}},
        {"work_centers": {"mill": "48 USD/h", "grinder": "84 USD/h"}},
        {"slot": "18 mm"},
        {"kind": "half-even"},
        {"sharp": False},
        {"breaks": [{"from": 1, "price": "8 USD/piece"}]},
        {"teeth": "6"},
    ],
    ids=repr,
)
def test_half_as_much_another_unit_and_what_is_no_figure_are_not_said(tmp_path: Path, new: dict[str, Any]) -> None:
    assert moves(tmp_path, new) == []


def test_each_file_is_held_against_the_one_before_it_in_date(tmp_path: Path) -> None:
    for number, mill in ((1, "50 USD/h"), (3, "110 USD/h"), (2, "70 USD/h")):
        stated = {"id": f"card-{number}", "effective_from": date(2026, number, 1), "mill": mill}
        write(tmp_path / f"{number}.toml", stated)
    assert list(proof.far_moves(in_turn(tmp_path))) == [
        f"{tmp_path.name}/3.toml:3: mill: 70 USD/h becomes 110 USD/h (+57 %) against {tmp_path.name}/2.toml"
    ]
