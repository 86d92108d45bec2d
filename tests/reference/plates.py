"""Plates to check: spec in, build or price out."""

from collections.abc import Mapping
from typing import Any

import msgspec
from msgspec.structs import replace

from tallyplate.answers import LineAnswer, PriceAnswer
from tallyplate.contract import Build, ShopData, Usual
from tallyplate.decoding import length_hook
from tallyplate.installation import Installation

AS_OF = "2026-06-01"

PLATE: dict[str, Any] = {
    "family": "rectangular",
    "length": "600 mm",
    "width": "400 mm",
    "thickness": "40 mm",
    "material": "steel-1018",
    "pattern": {"screw": "M12", "pitch": "50 mm"},
}

SAID: dict[str, Any] = {"length": "24 in", "width": "16 in", "thickness": None, "pattern": None}
"""A plate of which nothing is said but its size, and whatever material the test says."""


def plate(**changed: Any) -> dict[str, Any]:
    """A plain plate, with what is changed; `None` leaves a field open."""
    return {name: value for name, value in {**PLATE, **changed}.items() if value is not None}


def built(installation: Installation, shop: ShopData, **changed: Any) -> Build:
    """The build of a plate under some shop data."""
    family = installation.families["rectangular"]
    spec = msgspec.convert(plate(**changed), family.spec, dec_hook=length_hook)
    return family.build(spec, outermost(shop), Usual())


def outermost(shop: ShopData) -> ShopData:
    """The shop placing screws as far out as the table lets, which a reader can work by hand."""
    return replace(shop, usual=replace(shop.usual, placing="outermost"))


def priced(installation: Installation, quantity: int = 1, **changed: Any) -> PriceAnswer:
    """The price of a plate by the demonstration's card, its screws as far out as the table lets."""
    request = {"plate": plate(**changed), "quantity": quantity, "as_of": AS_OF}
    return installation.price_under(request, None, outermost(installation.shops[0]))


def lines(answer: PriceAnswer) -> Mapping[str, LineAnswer]:
    """Lines by item; items that stand twice keep the last."""
    return {line.item: line for line in answer.lines}
