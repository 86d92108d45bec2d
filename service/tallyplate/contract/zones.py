"""From zones in a spec, rectangular parts of a plate with a pattern each, to groups of holes. Lengths are mm."""

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Annotated, Final

from msgspec import UNSET, Meta, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract.build import HoleGroup, Zone
from tallyplate.contract.laying import Field, Lines
from tallyplate.contract.patterns import pattern
from tallyplate.contract.refusals import Fault, Refusal, refuse
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import Length, Pattern, Usual
from tallyplate.lattice import SPAN_SLACK, Lattice
from tallyplate.units import decimal_text

MOST_ZONES: Final = 12

MOST_LINES: Final = 600
"""Most columns and rows of all zones together: those of each zone are held against those of its neighbours."""


class Corner(Struct, frozen=True, forbid_unknown_fields=True):
    """The lower left corner of a zone; a coordinate that is left out is at the edge of the plate."""

    x: Annotated[Length, Meta(title="From the left edge", examples=["350 mm", "14 in"])] | UnsetType = UNSET
    y: Annotated[Length, Meta(title="From the lower edge", examples=["200 mm", "8 in"])] | UnsetType = UNSET

    def place(self) -> tuple[float, float]:
        """Its coordinates in mm."""
        return float(self.x or 0.0), float(self.y or 0.0)


class ZoneSpec(Struct, frozen=True, forbid_unknown_fields=True):
    """A rectangular part of the plate, and its holes as if it were a plate: margins are kept from its own edges."""

    length: Annotated[Length, Meta(title="Length", examples=["300 mm", "12 in"])]
    width: Annotated[Length, Meta(title="Width", examples=["200 mm", "8 in"])]
    corner: Annotated[Corner, Meta(title="Lower left corner")] | UnsetType = UNSET
    pattern: Annotated[Pattern, Meta(title="Hole pattern")] | UnsetType = UNSET


Zones = Annotated[
    tuple[ZoneSpec, ...],
    Meta(
        title="Zones",
        description="Parts of the plate, each with a pattern of its own, in place of one pattern.",
        max_length=MOST_ZONES,
    ),
]


class Patterned(Struct, frozen=True):
    """The holes of one pattern or of zones, and where the zones lie."""

    holes: tuple[HoleGroup, ...]
    zones: tuple[Zone, ...] = ()


def patterned(
    spec: Pattern | UnsetType, zones: Sequence[ZoneSpec], field: Field, shop: ShopData, usual: Usual
) -> Patterned:
    """The pattern of a plate, or those of its zones; refuses both, and zones that overlap or leave the plate."""
    if not zones:
        return Patterned(pattern(spec, field, shop, usual, pointer="/plate/pattern"))
    if not isinstance(spec, UnsetType):
        raise refuse("/plate/pattern", "each zone has a pattern of its own; accepted: leave it out, or zones")
    placed = tuple(Zone(*(one.corner or Corner()).place(), float(one.length), float(one.width)) for one in zones)
    faults = (*_off_plate(placed, field), *_overlapping(placed))
    if faults:
        raise Refusal(*faults)
    groups = [
        group
        for number, (asked, zone) in enumerate(zip(zones, placed, strict=True))
        for group in _holes(asked, zone, number, field, shop, usual)
    ]
    lattices = {(one.zone, one.layout.x, one.layout.y): one.layout for one in groups if isinstance(one.layout, Lattice)}
    lines = sum(one.columns + one.rows for one in lattices.values())
    if lines > MOST_LINES:
        message = f"{lines} columns and rows; accepted: pitches that make at most {MOST_LINES} in all zones together"
        raise refuse("/plate/zones", message)
    return Patterned(tuple(groups), placed)


def _holes(asked: ZoneSpec, zone: Zone, number: int, field: Field, shop: ShopData, usual: Usual) -> Iterator[HoleGroup]:
    """The holes of a zone, laid out as on a plate of its size and moved to their place."""
    lines = field.lines and Lines(
        tuple(x - zone.x for x in field.lines.columns), tuple(y - zone.y for y in field.lines.rows)
    )
    part = replace(field, width=zone.length, height=zone.width, lines=lines)
    for group in pattern(asked.pattern, part, shop, usual, pointer=f"/plate/zones/{number}/pattern"):
        layout = group.layout
        assert isinstance(layout, Lattice)  # noqa: S101 - a pattern has no other layout
        moved = replace(layout, x=layout.x + zone.x, y=layout.y + zone.y)
        yield replace(group, layout=moved, zone=number + 1)


def _off_plate(zones: Sequence[Zone], field: Field) -> Iterator[Fault]:
    for number, zone in enumerate(zones):
        for name, start, size, room in (
            ("length", zone.x, zone.length, field.width),
            ("width", zone.y, zone.width, field.height),
        ):
            if start + size > room + SPAN_SLACK:
                left = decimal_text(max(0.0, room - start), 3)
                message = f"{decimal_text(size, 3)} mm from the corner leave the plate; accepted: up to {left} mm"
                yield Fault(f"/plate/zones/{number}/{name}", message)


def _overlapping(zones: Sequence[Zone]) -> Iterator[Fault]:
    for (number, first), (other, second) in combinations(enumerate(zones), 2):
        across = min(first.x + first.length, second.x + second.length) - max(first.x, second.x)
        up = min(first.y + first.width, second.y + second.width) - max(first.y, second.y)
        if min(across, up) > SPAN_SLACK:
            lap = f"{decimal_text(across, 3)} by {decimal_text(up, 3)} mm"
            message = f"zone {other + 1} overlaps zone {number + 1} by {lap}; accepted: zones side by side"
            yield Fault(f"/plate/zones/{other}", message)
