"""The same sizes against tables and formulas that other people keep in public packages.

bd_warehouse's tables are read as files: importing it would ask for a CAD kernel. Its clearance holes for M12 and M16
(14 and 18 mm) are not those of ISO 273 (13.5 and 17.5 mm), and so stand as exceptions here.
"""

import csv
from fractions import Fraction
from importlib.util import find_spec
from pathlib import Path

import pytest
from screw_thread_lib import Assembly

from tallyplate.contract import ShopData, tapped_hole

SCREWS = ("3/8-16", "1/2-13", "5/8-11", "M10", "M12", "M16")
COARSE = {"M10": "M10-1.5", "M12": "M12-1.75", "M16": "M16-2"}
NOT_ISO_273 = {"M12": 0.5, "M16": 0.5}


def table(name: str) -> dict[str, dict[str, str]]:
    spec = find_spec("bd_warehouse")
    assert spec is not None
    assert spec.origin is not None
    with (Path(spec.origin).parent / "data" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return {row["Size"]: row for row in csv.DictReader(file)}


def millimetres(written: str, screw: str) -> float:
    """Tables give inch sizes as fractions and metric ones in mm."""
    return float(Fraction(written)) * (25.4 if "/" in screw else 1.0)


@pytest.mark.parametrize("screw", SCREWS)
def test_tap_drills_are_those_of_the_packages_table_for_soft_metal(screw: str, shop: ShopData) -> None:
    published = table("tap_hole_sizes")[COARSE.get(screw, screw)]["Soft"]
    assert shop.screws[screw].tap_drill == pytest.approx(millimetres(published, screw), abs=1e-6)


@pytest.mark.parametrize("screw", SCREWS)
def test_clearance_holes_are_those_of_the_packages_table_but_for_two(screw: str, shop: ShopData) -> None:
    published = table("clearance_hole_sizes")[screw.partition("-")[0]]["Normal"]
    above = millimetres(published, screw) - shop.screws[screw].clearance
    assert above == pytest.approx(NOT_ISO_273.get(screw, 0.0), abs=1e-6)


@pytest.mark.parametrize("screw", SCREWS)
def test_counterbores_take_the_heads_of_the_packages_table(screw: str, shop: ShopData) -> None:
    row = table("socket_head_cap_parameters")[COARSE.get(screw, screw)]
    standard = "asme_b18.3" if "/" in screw else "iso4762"
    head = {key.strip(): value for key, value in row.items()}
    assert shop.screws[screw].counterbore > millimetres(head[f"{standard}:dk"], screw)
    assert shop.screws[screw].counterbore_depth > millimetres(head[f"{standard}:k"], screw)


@pytest.mark.parametrize(("screw", "tables"), [("1/2-13", "ASME_UN_2A2B"), ("M12", "ASME_M_6g6H")])
def test_diameter_and_pitch_are_those_of_the_packages_threads(screw: str, tables: str, shop: ShopData) -> None:
    # screw_thread_lib 0.0.6 (limits of ASME B1.1 and B1.13M, in inches), the two of our screws that it knows.
    thread = Assembly.from_database(tables, COARSE.get(screw, screw))
    assert shop.screws[screw].major == pytest.approx(25.4 * thread.dbsc, abs=1e-6)
    assert shop.screws[screw].pitch == pytest.approx(25.4 / thread.n, abs=1e-6)


def test_a_tapped_hole_in_mild_steel_holds_until_the_screw_breaks(shop: ShopData) -> None:
    # FED-STD-H28/2B formula (16): a 1/2-13 screw of 120 ksi in a nut of 58 ksi needs 0.5226 in of thread (verified).
    needed = Assembly.from_database("ASME_UN_2A2B", "1/2-13", 120, 58).LEr_FEDSTD_16()
    assert needed == pytest.approx(0.5226, abs=1e-4)
    hole = tapped_hole("1/2-13", 48.26, shop)
    assert hole.thread is not None
    assert hole.thread.depth > 25.4 * needed
