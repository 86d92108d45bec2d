"""The parts list: the stock that a plate is cut from, and what is bought and fitted or sent with it."""

from collections.abc import Iterator
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import Build, Hardware, Services, ShopData, plugs
from tallyplate.documents.measures import Measure

ITEMS: Final = {
    "bushing": "Press-fit bushing",
    "thread_insert": "Wire thread insert",
    "holding_screw": "Socket head cap screw",
    "t_nut": "T-nut",
    "round_pin": "Round locating pin",
    "relieved_pin": "Relieved locating pin",
    "retractable_pin": "Retractable locating pin",
    "key": "Slot key",
    "handle": "Handle with its screws",
    "lifting_eye": "Lifting eye bolt",
    "plug": "Hole plug",
    "screw": "Socket head cap screw",
}
"""The trade's words; a kind that a plugin adds is named by its own."""

PINS: Final = ("round_pin", "relieved_pin", "retractable_pin")

SCREWS: Final = ("holding_screw", "screw")

METRIC_SCREW: Final = "ISO 4762"
INCH_SCREW: Final = "ASME B18.3"
"""The screws whose heads the counterbores take."""


class Part(Struct, frozen=True, gc=False):
    """A part by its item, its standard size designation, and how many one plate and the whole order take.

    `standard` names the standard of a part that is bought to one, and is empty for others.
    """

    item: str
    kind: str
    designation: str
    standard: str
    each: int
    total: int


SPARES: Final = {"bushings": "bushing", "plugs": "plug", "screws": "screw"}
"""The kind of each spare."""


def parts(
    build: Build, shop: ShopData, quantity: int, measure: Measure, services: Services | None = None
) -> tuple[Part, ...]:
    """All parts of an order of so many plates, the stock first and the spares, which no plate takes, last."""
    services = services or Services()
    lid = plugs(build, shop) if services.plugs == "every_hole" else ()
    blank = build.blank
    size = " x ".join(measure.size(side) for side in (blank.length, blank.width, blank.thickness))
    stock = f"{shop.materials[build.body.material].title}, {blank.form}, {size} {measure.unit}"
    stock += ", supplied by the customer" * blank.supplied
    return (
        Part("Plate that exists" if blank.existing else "Stock", "stock", stock, "", 1, quantity),
        *(_part(part, build, shop, quantity, measure) for part in (*_bought(build), *lid)),
        *replacements(build, shop, quantity, measure),
        *(_spare(part, build, shop, measure) for part in _spares(services)),
    )


def replacements(build: Build, shop: ShopData, quantity: int, measure: Measure) -> Iterator[Part]:
    """What is pressed into a plate that exists in the place of its like."""
    for part in build.replaced:
        yield _called("Replacement", _part(part, build, shop, quantity, measure))


def _bought(build: Build) -> Iterator[Hardware]:
    yield from replace(build, replaced=()).fitted()
    yield from build.hardware
    yield from build.accessories


def _spares(services: Services) -> Iterator[Hardware]:
    for kind, sizes in services.spares.by_kind():
        yield from (Hardware(SPARES[kind], size, count) for size, count in sorted(sizes.items()))


def _spare(spare: Hardware, build: Build, shop: ShopData, measure: Measure) -> Part:
    return _called("Spare", replace(_part(spare, build, shop, 1, measure), each=0))


def _called(what: str, part: Part) -> Part:
    return replace(part, item=f"{what} {part.item[0].lower()}{part.item[1:]}")


def _part(part: Hardware, build: Build, shop: ShopData, quantity: int, measure: Measure) -> Part:
    item = ITEMS.get(part.kind, part.kind.replace("_", " ").capitalize())
    standard = "" if part.kind not in SCREWS else METRIC_SCREW if part.size.startswith("M") else INCH_SCREW
    size = _size(part, build, shop, measure)
    designation = f"{part.size}, {size} {measure.unit}" if size else part.size
    return Part(item, part.kind, designation, standard, part.count, part.count * quantity)


def _size(part: Hardware, build: Build, shop: ShopData, measure: Measure) -> str:
    """What a screw's designation leaves open of a part that goes by it."""
    screw = shop.screws.get(part.size)
    if part.kind in {"t_nut", "key"} and build.table.slot_width:
        return f"slot {measure.size(build.table.slot_width)}"
    if screw and part.kind in PINS:
        return f"Ø{measure.size(screw.locating)}"
    if screw and part.kind == "bushing":
        inside, outside, length = map(measure.size, (screw.locating, screw.bushing_outside, screw.bushing_length))
        return f"Ø{inside} x Ø{outside} x {length}"
    return ""
