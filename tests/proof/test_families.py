"""Strangers' families: tried at the examples of their specs, or named as not tried."""

from typing import Annotated, Any

import pytest
from msgspec import Meta

from tallyplate import proof
from tallyplate.contract import CONTRACT, Build, CostModule, Family, Length, PlateSpec, ShopData, Usual, refuse
from tallyplate.installation import Installation
from tallyplate.proof.specs import flat
from tallyplate_plugins.families.rectangular import Rectangular
from tallyplate_plugins.families.rectangular import build as build_rectangular
from tests.plates import installation
from tests.proof.lawbreakers import BROKEN


class Square(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="square", kw_only=True):
    """A plate by one side."""

    side: Annotated[Length, Meta(title="Side", examples=["400 mm"])]


class Plain(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="square", kw_only=True):
    """The same without an example."""

    side: Length


def build_square(spec: Square, shop: ShopData, usual: Usual) -> Build:
    shared = {name: getattr(spec, name) for name in PlateSpec.__struct_fields__}
    return build_rectangular(Rectangular(length=spec.side, width=spec.side, **shared), shop, usual)


def refuses(*_: Any) -> Build:
    raise refuse("/plate/side", "not today")


def fails(*_: Any) -> Build:
    message = "no compass"
    raise ValueError(message)


def with_squares(spec: type[PlateSpec], build: Any) -> Installation:
    square = Family(contract=CONTRACT, title="Square plate", spec=spec, build=build)
    return composed(square)


def composed(square: Family, **more: CostModule) -> Installation:
    """Squares alone, with the demonstration's cards and shop data."""
    here = installation()
    return Installation({"square": square}, {**here.modules, **more}, here.cards, here.shops, here.versions)


def told(installed: Installation) -> list[str]:
    return list(proof.broken_laws(installed, installed.cards[0], installed.shops[0]))


def left_out(installed: Installation) -> tuple[str, ...]:
    return proof.scope(installed, installed.cards[0], installed.shops[0]).left_out


def test_a_family_with_examples_is_tried_and_keeps_the_laws() -> None:
    installed = with_squares(Square, build_square)
    assert not told(installed)
    scope = proof.scope(installed, installed.cards[0], installed.shops[0])
    assert scope == proof.Scope(8, ())


def test_a_family_with_examples_shows_up_a_module_that_breaks_a_law() -> None:
    square = Family(contract=CONTRACT, title="Square plate", spec=Square, build=build_square)
    wrong = BROKEN["charges less for a tighter position"].module
    (broken,) = told(composed(square, paint=wrong))
    assert ": 1 plate of family square, material al-6061-t6, side 400 mm, finish plain, " in broken
    assert broken.endswith("(less in paint): a tighter plate must never cost less")


@pytest.mark.parametrize(
    ("spec", "build", "reason"),
    [
        (Plain, build_square, "family square, whose spec gives no example of side"),
        (Square, refuses, "family square, none of whose plates the shop data allow"),
    ],
    ids=["no example", "refused"],
)
def test_a_family_that_cannot_be_tried_is_named(spec: type[PlateSpec], build: Any, reason: str) -> None:
    installed = with_squares(spec, build)
    assert not told(installed)
    assert reason in left_out(installed)
    assert "material acetal, of which no plate could be made" in left_out(installed)


def test_a_family_that_fails_is_named() -> None:
    (broken,) = told(with_squares(Square, fails))
    assert broken.endswith(": family 'square' failed: ValueError: no compass")


def test_nothing_of_the_demonstration_is_left_out() -> None:
    assert left_out(installation()) == ()


def test_rectangular_plates_are_flat_and_squares_are_not_known_to_be() -> None:
    assert flat(Rectangular)
    assert not flat(Square)
