"""Cost modules that this project has never seen, each hard to foresee in a way of its own; and a family likewise."""

import math
from collections.abc import Callable, Iterable
from functools import lru_cache
from typing import Any, Final

from msgspec import UNSET
from msgspec.structs import replace

from tallyplate.contract import (
    CONTRACT,
    Body,
    Build,
    Charge,
    CostModule,
    Family,
    Length,
    Marks,
    PlateSpec,
    Rate,
    Share,
    ShopData,
    Stage,
    Sum,
    Usual,
    purchases,
    subtotal,
    work,
)
from tests.plates import installation

TENTH: Final = Share(1, 1)
PIECE: Final = Rate(250, 2)
"""2.50 a piece."""

Charges = Callable[..., Iterable[Charge]]


def module(charges: Charges, stage: Stage = Stage.MAKE, **others: Any) -> CostModule:
    return CostModule(contract=CONTRACT, stage=stage, charges=charges, **others)


def by_side(build: Build, *_: Any) -> Iterable[Charge]:
    """Engraves the names of sides, by the letter."""
    yield Charge("letters", sum(len(marks.side) for marks in build.marks), PIECE)


# ------------------------------------------------------------------------------------------ of the making stage


def by_root(build: Build, *_: Any) -> Iterable[Charge]:
    """Reads numbers through C, and through text."""
    tight = math.sqrt(build.position_tolerance) + math.floor(build.flatness * 1000) + len(f"{build.flatness:.3f}")
    yield Charge("calibration", tight, PIECE)


def by_text(build: Build, *_: Any) -> Iterable[Charge]:
    """Reads how a tolerance was written."""
    yield Charge("paper", len(getattr(build.position_tolerance, "text", "")), PIECE)


def by_copy(build: Build, *_: Any) -> Iterable[Charge]:
    """Copies the build by means that want a real one."""
    thinner = replace(build, body=replace(build.body, thickness=build.body.thickness / 2))
    yield Charge("samples", thinner.body.thickness, PIECE)


@lru_cache(maxsize=8)
def _corners(body: Body) -> float:
    return body.perimeter / 50


def by_body(build: Build, *_: Any) -> Iterable[Charge]:
    """Remembers by the whole body, and asks of what kind it is."""
    body: object = build.body
    if isinstance(body, Body) and build.finish != "plain":
        yield Charge("corners", _corners(body), PIECE)


def by_order(build: Build, order: Any, *_: Any) -> Iterable[Charge]:
    """Reads the order and the blank."""
    yield work("staging", 30 * order.quantity + build.blank.thickness, "saw", once=600)


# --------------------------------------------------------------------------------------- of the stages thereafter


def by_line(_: Build, __: Any, ___: ShopData, ____: None, earlier: tuple[Any, ...]) -> Iterable[Charge]:
    """A share of each line by itself, which rounds each by itself, and of some lines twice."""
    for place, line in enumerate(earlier):
        yield Charge(f"handling {place}", 0, TENTH, "", "", line.amount * (2 if line.of.work_center == "mill" else 1))


def by_largest(_: Build, __: Any, ___: ShopData, ____: None, earlier: tuple[Any, ...]) -> Iterable[Charge]:
    """A share of the largest line."""
    yield Charge("risk", 0, TENTH, "", "", max(line.amount for line in earlier))


def by_step(_: Build, __: Any, ___: ShopData, ____: None, earlier: tuple[Any, ...]) -> Iterable[Charge]:
    """Less for what is dear, so that a dearer plate may cost less."""
    bought = purchases(earlier)
    yield Charge("buying", 0, TENTH, "", "", bought if bought < 60_000 else bought // 4)


def by_finish(build: Build, __: Any, ___: ShopData, ____: None, earlier: tuple[Any, ...]) -> Iterable[Charge]:
    """A share by the finish and the tolerance."""
    if build.finish == "anodized" or build.position_tolerance < 0.04:
        yield Charge("care", 0, TENTH, "", "", subtotal(earlier))


def by_rest(_: Build, order: Any, ___: ShopData, ____: None, earlier: tuple[Any, ...]) -> Iterable[Charge]:
    """What is missing to a sum, a fixed time, and a minimum."""
    yield Charge("up to a sum", 0, Share(1, 0), "", "", (9_000_000_000 - subtotal(earlier)) / 100)
    yield work("paying", 0, "programming", once=900 * order.quantity)
    yield Charge("fee", 0, TENTH, "", "", sum(line.amount for line in earlier) / 2, at_least=Sum(40_000))


def by_items(_: Build, __: Any, ___: ShopData, ____: None, earlier: tuple[Any, ...]) -> Iterable[Charge]:
    """Reads what lines are called and how many there are."""
    drilled = [line.amount for line in earlier if "holes" in line.of.item]
    yield Charge("drills", len(earlier), Rate(100, 2), "", "", sum(drilled) / 10_000)


MAKING: Final = {one.__name__: module(one) for one in (by_root, by_text, by_copy, by_body, by_order, by_side)}
LATER: Final = {
    one.__name__: module(one, Stage.OVERHEAD) for one in (by_line, by_largest, by_step, by_finish, by_rest, by_items)
}


class Curious(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="curious", kw_only=True):
    """A square plate whose family looks at everything."""

    side: Length


def build_curious(spec: Curious, shop: ShopData, usual: Usual) -> Build:
    """Anodized plates get one more clamping; tight ones a finer flatness; what is left open is no usual answer."""
    rectangular = installation().families["rectangular"]
    plate = rectangular.spec(  # type: ignore[call-arg]
        length=spec.side, width=spec.side, material=spec.material, finish=spec.finish, flatness=spec.flatness
    )
    made = rectangular.build(plate, shop, usual)
    tolerance = 0.07 if spec.position_tolerance is UNSET else float(spec.position_tolerance)
    return replace(
        made,
        setups=made.setups + (spec.finish == "anodized"),
        position_tolerance=tolerance,
        flatness=min(made.flatness, 10 * tolerance),
    )


CURIOUS: Final = Family(contract=CONTRACT, title="Curious plate", spec=Curious, build=build_curious)


class Stubborn(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="stubborn", kw_only=True):
    """A square plate whose family hands everything on to where it does not belong."""

    side: Length


def build_stubborn(spec: Stubborn, shop: ShopData, usual: Usual) -> Build:
    """Never finished, as flat as its holes are placed, and with the name of the finish on a side."""
    rectangular = installation().families["rectangular"]
    plate = rectangular.spec(length=spec.side, width=spec.side, material=spec.material)  # type: ignore[call-arg]
    made = rectangular.build(plate, shop, usual)
    tolerance = usual("/plate/position_tolerance", spec.position_tolerance, shop.usual.position_tolerance, "usual")
    side = usual("/plate/finish", spec.finish, "plain", "usual")
    flatness = usual("/plate/flatness", spec.flatness, shop.usual.flatness, "usual")
    return replace(
        made, marks=(*made.marks, Marks(side, 3)), flatness=tolerance, position_tolerance=tolerance, finish="plain",
        setups=2 + (flatness < 0.1),
    )  # fmt: skip


STUBBORN: Final = Family(contract=CONTRACT, title="Stubborn plate", spec=Stubborn, build=build_stubborn)


class Handing(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="handing", kw_only=True):
    """A square plate whose family looks at nothing, and takes one tolerance for the other."""

    side: Length


def build_handing(spec: Handing, shop: ShopData, usual: Usual) -> Build:
    """As flat as its holes were to be placed, and its holes placed as it was to be flat."""
    rectangular = installation().families["rectangular"]
    plate = rectangular.spec(length=spec.side, width=spec.side, material=spec.material)  # type: ignore[call-arg]
    return replace(
        rectangular.build(plate, shop, usual),
        finish=usual("/plate/finish", spec.finish, "plain", "usual"),
        flatness=usual("/plate/position_tolerance", spec.position_tolerance, shop.usual.flatness, "usual"),
        position_tolerance=usual("/plate/flatness", spec.flatness, shop.usual.position_tolerance, "usual"),
    )


HANDING: Final = Family(contract=CONTRACT, title="Handing plate", spec=Handing, build=build_handing)
