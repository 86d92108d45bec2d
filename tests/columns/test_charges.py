"""Charges of many plates at once: where a module parts them, like charges are joined and others are nothing."""

from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec.structs import replace

from tallyplate.charging import ready_charges
from tallyplate.columns.column import Column
from tallyplate.contract import Charge, PerPiece
from tests.costs.plain import BODY, BUILD, ORDER
from tests.misbehaving import module
from tests.plates import installation


def _by_length(build: Any, *_: Any) -> Iterator[Charge]:
    if build.body.length > 500:
        yield Charge("for a long plate", 2, PerPiece(100, 2))
    else:
        yield Charge("for a short plate", 5, PerPiece(100, 2))
    yield Charge("for any plate", build.body.length / 100, PerPiece(300, 2))


def test_like_charges_of_parted_plates_are_joined_and_a_plate_without_one_has_nothing_of_it() -> None:
    here = installation()
    many = replace(BUILD, body=replace(BODY, length=Column(np.array([100.0, 900.0, 300.0]))))
    ready = ready_charges("paint", module(_by_length), many, ORDER, here.shops[-1], here.cards[-1], ())
    found = {one.item.item: getattr(one.per_plate, "values", None) for one in ready}
    assert {item: values.tolist() for item, values in found.items() if values is not None} == {
        "for a long plate": [0, 2, 0],
        "for a short plate": [5, 0, 5],
        "for any plate": [1, 9, 3],
    }
