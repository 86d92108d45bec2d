"""From the text of a DXF to features of a plate in JSON, ready to be put into a spec."""

from collections.abc import Iterable
from itertools import dropwhile
from typing import Annotated, Any, Final, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.contours.entities import BEGINS, NAME, drawn
from tallyplate.contours.joining import Contour, joined, nested, refuse_all
from tallyplate.contours.pieces import Chain, NotRead, Ring, pieces
from tallyplate.contours.tags import POINTER, Tag, tags
from tallyplate.contract import Length, Outline, refuse
from tallyplate.contract.features import MOST_FEATURES
from tallyplate.contract.outlines import Spot
from tallyplate.decoding import shown
from tallyplate.units import decimal_text, length

MOST_CHARACTERS: Final = 1_000_000
DECIMALS: Final = 4
"""Of a place in mm: a tenth of a micrometre."""
MILLIMETRES: Final = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
FINEST, COARSEST = 0.001, 1.0
"""Millimetres between which the chord error lies."""
MOST_ON_ALL: Final = 1000
"""Most corners of all contours together."""

Unit = Literal["mm", "cm", "m", "in", "ft"]


class ContourRequest(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A DXF and what its contours shall become."""

    dxf: Annotated[str, Meta(title="DXF", max_length=MOST_CHARACTERS, description="The file as text (ASCII DXF).")]
    layer: Annotated[str, Meta(title="Layer", min_length=1, max_length=255, description="The one that is read.")]
    feature: Annotated[
        Literal["cut_out", "pocket", "keep_out"], Meta(title="Feature", description="What each contour becomes.")
    ] = "cut_out"
    depth: Annotated[Length, Meta(title="Depth", description="Of pockets.", examples=["12 mm"])] | UnsetType = UNSET
    unit: Annotated[Unit, Meta(title="Unit", description="Of a file that states none ($INSUNITS).")] | UnsetType = UNSET
    chord_error: (
        Annotated[
            Length,
            Meta(
                title="Chord error",
                description="How far an arc's chords may lie from it; usually 0.05 mm.",
                examples=["0.05 mm"],
            ),
        ]
        | UnsetType
    ) = UNSET
    origin_x: Annotated[float, Meta(title="Plate's left edge", description="In the file, in its unit.")] = 0.0
    origin_y: Annotated[float, Meta(title="Plate's lower edge", description="In the file, in its unit.")] = 0.0


class ContourAnswer(Struct, frozen=True):
    """Features for a spec, as JSON; the unit that was read, the chord error that was kept, and what was not read."""

    features: list[dict[str, Any]]
    unit: str
    chord_error: str
    not_understood: list[NotRead]


def contours(asked: ContourRequest) -> ContourAnswer:
    """The contours of a layer as features; refuses what is open, crosses itself, is nested or is not on the plate."""
    error = length("0.05 mm") if isinstance(asked.chord_error, UnsetType) else asked.chord_error
    if not FINEST <= error <= COARSEST:
        raise refuse("/chord_error", f"{error.text} is out of range; accepted: {FINEST} mm to {COARSEST} mm")
    if (asked.feature == "pocket") != (asked.depth is not UNSET):
        depth = "is required and missing" if asked.feature == "pocket" else "has no meaning for what goes through"
        raise refuse("/depth", f"{depth}; accepted: a depth for pockets alone")
    found = tuple(tags(asked.dxf))
    if not _draws(found):
        message = f"{shown(asked.dxf)} draws nothing; accepted: DXF as text (ASCII) with entities"
        raise refuse(POINTER, message)
    read = drawn(found, asked.layer)
    unit = _unit(read.unit, asked.unit)
    scale = MILLIMETRES[unit]
    understood, strange = pieces(read.entities, error / scale)
    moved = [_placed(piece, scale, (asked.origin_x, asked.origin_y)) for piece in understood]
    rings = [piece for piece in moved if isinstance(piece, Ring)]
    closed = joined([piece for piece in moved if isinstance(piece, Chain)])
    _refuse_wrong(rings, closed)
    made = [*map(_circle, rings), *map(_outline, closed)]
    deep = {} if isinstance(asked.depth, UnsetType) else {"depth": asked.depth.text}
    features = [{"feature": asked.feature, **one, **deep} for one in made]
    return ContourAnswer(features, unit, error.text, strange)


def _draws(found: Iterable[Tag]) -> bool:
    """Whether a file has anything in its section of entities."""
    section = dropwhile(lambda tag: tag != (NAME, "ENTITIES"), found)
    return next((tag.value for tag in section if tag.code == BEGINS), "ENDSEC") != "ENDSEC"


def _unit(stated: str, said: Unit | UnsetType) -> str:
    """The unit of a file; refuses one that is neither stated nor said, or both and differently."""
    if isinstance(said, UnsetType):
        if not stated:
            raise refuse("/unit", f"is not stated by the file ($INSUNITS); accepted: {', '.join(MILLIMETRES)}")
        return stated
    if stated and stated != said:
        raise refuse("/unit", f"{said!r} is not what the file states; accepted: {stated}, or leave it out")
    return said


def _placed(piece: Ring | Chain, scale: float, origin: Spot) -> Ring | Chain:
    """A piece in mm from the plate's lower left corner."""

    def at(spot: Spot) -> Spot:
        return (spot[0] - origin[0]) * scale, (spot[1] - origin[1]) * scale

    if isinstance(piece, Ring):
        return Ring(piece.name, at(piece.centre), piece.radius * scale)
    return Chain(piece.name, tuple(map(at, piece.spots)), piece.closed)


def _refuse_wrong(rings: list[Ring], closed: list[Contour]) -> None:
    """Refuse contours that are too many, too fine, nested, or reach beyond the plate's left or lower edge."""
    count = len(rings) + len(closed)
    if not 0 < count <= MOST_FEATURES:
        raise refuse(POINTER, f"has {count} contours on the layer; accepted: 1 to {MOST_FEATURES}")
    corners = sum(len(one.corners) for one in closed)
    if corners > MOST_ON_ALL:
        raise refuse(POINTER, f"has {corners} corners; accepted: at most {MOST_ON_ALL} on all contours together")
    faults: list[str] = []
    named = [(ring.name, Outline((ring.centre,), ring.radius)) for ring in rings]
    named += [(one.name, Outline(one.corners)) for one in closed]
    for name, outline in named:
        left, lower, _, _ = outline.box
        if min(left, lower) <= 0:
            message = f"{name} reaches to {left:.3f}, {lower:.3f} mm; accepted: above 0, see origin_x and origin_y"
            faults.append(message)
    refuse_all(faults or nested(named))


def _circle(ring: Ring) -> dict[str, Any]:
    return {"at": _point(ring.centre), "diameter": _mm(2 * ring.radius)}


def _outline(contour: Contour) -> dict[str, Any]:
    return {"outline": [_point(corner) for corner in contour.corners]}


def _point(spot: Spot) -> dict[str, str]:
    return {"x": _mm(spot[0]), "y": _mm(spot[1])}


def _mm(size: float) -> str:
    return f"{decimal_text(size, DECIMALS)} mm"
