"""Documents to build from are the same bytes for the same build, in any process and at any time."""

import os
import subprocess
import sys
import time
from hashlib import sha256

import pytest

from tallyplate.documents.measures import MEASURES
from tallyplate.documents.picture import plate_picture
from tallyplate.documents.schedules.sheets import all_tables
from tallyplate.documents.streams import csv_pieces
from tallyplate.documents.workbook import xlsx_pieces
from tests.documents.plates import dxf, made, schedule, svg
from tests.plates import ROOT


def digests() -> str:
    """A digest of every format."""
    one = made("separate")
    tables = list(all_tables(one.build, one.shop, 2, MEASURES["in"]))
    book = b"".join(xlsx_pieces(all_tables(one.build, one.shop, 2, MEASURES["in"])))
    whole = (
        svg(one).encode(), dxf(one).encode(), repr(schedule(one)).encode(), b"".join(csv_pieces(tables[0])), book,
        plate_picture(one.build).encode(),
    )  # fmt: skip
    return " ".join(sha256(document).hexdigest() for document in whole)


def test_another_process_makes_the_same_bytes() -> None:
    # XLSX (as ZIP) and DXF can hold times to the second, so that the other process begins in another one.
    here, began = digests(), int(time.time())
    while int(time.time()) == began:
        time.sleep(0.05)
    script = "from tests.documents.test_same_bytes import digests; print(digests(), end='')"
    other = {**os.environ, "PYTHONHASHSEED": "7", "TZ": "Pacific/Auckland"}
    made_there = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True, env=other, cwd=ROOT)
    assert made_there.stdout.decode() == here


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_no_time_and_no_random_name_stands_in_a_dxf(unit: str) -> None:
    text = dxf(made("usual"), unit=unit)
    assert "00000000-0000-0000-0000-000000000000" in text
    assert text.count("$TDCREATE") == text.count("$TDUPDATE") == 1
    assert " @ 20" not in text
