"""Pockets, slots and cut-outs: their outlines, and the end mills that go into them. Lengths are mm."""

from collections.abc import Iterator
from math import hypot

from msgspec import UNSET, UnsetType

from tallyplate.contract.cutting import EndMill
from tallyplate.contract.features import Area, CutOut, Pocket, Slot
from tallyplate.contract.laying import Field
from tallyplate.contract.milled import Milled
from tallyplate.contract.outlines import POLYGON, Outline, crossing, rectangle
from tallyplate.contract.placed_holes import Ground, spot
from tallyplate.contract.refusals import refuse
from tallyplate.contract.shop import ShopData
from tallyplate.lattice import GUARD
from tallyplate.units import Length, decimal_text

WHY_CORNER = "that of the slimmest end mill that reaches so deep"


def fitting_mills(mills: tuple[EndMill, ...], narrowest: float, depth: float) -> Iterator[EndMill]:
    """The end mills that pass a width and reach a depth, the slimmest first."""
    return (mill for mill in mills if mill.reach >= depth - GUARD and mill.diameter <= narrowest + GUARD)


def pocket(of: Pocket, ground: Ground, pointer: str) -> Milled:
    """A pocket; refuses one that has no floor, or corners that no end mill gets into."""
    field = ground.field
    if of.depth >= field.thickness:
        message = f"{of.depth.text} leaves no floor; accepted: less than {decimal_text(field.thickness, 3)} mm"
        raise refuse(f"{pointer}/depth", message)
    return _cut("pocket", of, float(of.depth), ground, pointer, face=of.face)


def cut_out(of: CutOut, ground: Ground, pointer: str) -> Milled:
    """An area cut out through the plate; refuses corners that no end mill gets into."""
    return _cut("cut-out", of, ground.field.thickness, ground, pointer)


def slot(of: Slot, ground: Ground, pointer: str) -> Milled:
    """A straight slot; refuses one that no end mill fits or that is goes nowhere."""
    field, shop = ground.field, ground.shop
    ends = spot(of.start, field, f"{pointer}/start"), spot(of.end, field, f"{pointer}/end")
    (x1, y1), (x2, y2) = ends
    if hypot(x2 - x1, y2 - y1) <= GUARD:
        raise refuse(f"{pointer}/end", "is where the slot starts; accepted: another place, or a hole")
    through = isinstance(of.depth, UnsetType)
    deep = field.thickness if isinstance(of.depth, UnsetType) else float(of.depth)
    if not through and deep >= field.thickness:
        message = f"leaves no floor; accepted: less than {decimal_text(field.thickness, 3)} mm, or leave it out"
        raise refuse(f"{pointer}/depth", message)
    _refuse_narrow(of.width.text, float(of.width), deep, shop, f"{pointer}/width", "mm wide")
    return Milled("slot", Outline(ends, of.width / 2), deep, of.width / 2, through, of.face, pointer)


def _cut(kind: str, of: Pocket | CutOut, depth: float, ground: Ground, pointer: str, *, face: str = "top") -> Milled:
    field, shop = ground.field, ground.shop
    through = kind == "cut-out"
    if not isinstance(of.diameter, UnsetType):
        if of.corner_radius is not UNSET:
            raise refuse(f"{pointer}/corner_radius", "a circle has no corners; accepted: leave it out")
        whole = area(of, field, 0.0, pointer)
        _refuse_narrow(of.diameter.text, float(of.diameter), depth, shop, f"{pointer}/diameter", "mm in diameter")
        return Milled(kind, whole, depth, whole.radius, through, face, pointer)
    slimmest = _least(depth, shop, pointer)
    for name in ("length", "width"):
        if isinstance(side := getattr(of, name), Length):
            _refuse_narrow(side.text, float(side), depth, shop, f"{pointer}/{name}", "mm")
    radius = Length(slimmest / 2, f"{decimal_text(slimmest / 2, 4)} mm")
    corner = ground.usual(f"{pointer}/corner_radius", of.corner_radius, radius, WHY_CORNER)
    whole = area(of, field, float(corner), pointer)
    place = f"{pointer}/corner_radius"
    _refuse_narrow(f"twice the corner radius of {corner.text}", 2 * corner, depth, shop, place, "mm for twice it")
    return Milled(kind, whole, depth, float(corner), through, face, pointer)


def _least(depth: float, shop: ShopData, pointer: str) -> float:
    """Diameter of the slimmest end mill that reaches a depth; refuses a shop that has none."""
    mills = shop.cutting.end_mills
    if not mills:
        raise refuse(pointer, f"is not on offer: shop data {shop.id} state no end mills; accepted: holes and bores")
    mill = next(fitting_mills(mills, float("inf"), depth), None)
    if mill is None:
        deepest = max(mill.reach for mill in mills)
        message = f"is {decimal_text(depth, 3)} mm deep; accepted: up to {deepest.text}, as deep as an end mill reaches"
        raise refuse(pointer, message)
    return float(mill.diameter)


def _refuse_narrow(said: str, width: float, depth: float, shop: ShopData, pointer: str, what: str) -> None:
    """Refuse a width that no end mill passes which reaches the depth."""
    least = _least(depth, shop, pointer.rpartition("/")[0])
    if width < least - GUARD:
        message = (
            f"{said} is narrower than any end mill that reaches {decimal_text(depth, 3)} mm deep; accepted: at least "
            f"{decimal_text(least, 3)} {what}"
        )
        raise refuse(pointer, message)


def area(of: Area, field: Field, corner: float, pointer: str) -> Outline:
    """The outline of an area; refuses one that is stated twice, by halves, or crosses itself."""
    boxed = [name for name in ("length", "width") if getattr(of, name) is not UNSET]
    ways = [bool(boxed), of.diameter is not UNSET, of.outline is not UNSET]
    if sum(ways) != 1:
        raise refuse(pointer, "is stated by one of: length and width, diameter, outline; accepted: exactly one of them")
    if not isinstance(of.outline, UnsetType):
        if of.at is not UNSET:
            raise refuse(f"{pointer}/at", "an outline states its own places; accepted: leave it out")
        corners = tuple(spot(one, field, f"{pointer}/outline/{number}") for number, one in enumerate(of.outline))
        _refuse_crossing(corners, f"{pointer}/outline")
        return Outline(corners)
    x, y = spot(of.at, field, f"{pointer}/at")
    if not isinstance(of.diameter, UnsetType):
        return Outline(((x, y),), of.diameter / 2)
    if isinstance(of.length, UnsetType) or isinstance(of.width, UnsetType):
        missing = "width" if isinstance(of.width, UnsetType) else "length"
        raise refuse(f"{pointer}/{missing}", "is required and missing; accepted: both sides of a rectangle")
    half = of.length / 2, of.width / 2
    if corner > min(half) + GUARD:
        message = f"leaves no straight side; accepted: at most {decimal_text(min(half), 3)} mm"
        raise refuse(f"{pointer}/corner_radius", message)
    return rectangle(x - half[0], y - half[1], x + half[0], y + half[1], min(corner, *half))


def _refuse_crossing(corners: tuple[tuple[float, float], ...], pointer: str) -> None:
    if met := crossing(corners):
        first, second = met
        message = (
            f"its sides from corner {first + 1} and from corner {second + 1} meet; accepted: an outline that neither "
            "crosses nor touches itself"
        )
        raise refuse(f"{pointer}/{second}", message)
    if len(corners) < POLYGON or Outline(corners).area <= GUARD:
        raise refuse(pointer, "goes around nothing; accepted: an outline of some area")
