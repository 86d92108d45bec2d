"""What a caller asks for at places of its own on a flat plate: holes, bores, pockets, slots, cut-outs, kept areas.

All places and sizes are in plan, from the lower left corner of the plate's box, as one looks at its top.
"""

from typing import Annotated, Final, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.contract.spec import Name, Point
from tallyplate.units import Length

MOST_FEATURES: Final = 100
MOST_PLACES: Final = 100
"""Most places of one feature."""
MOST_ON_CIRCLE: Final = 200
MOST_CORNERS: Final = 200
"""Most corners of one outline."""

Screw = Annotated[Name, Meta(title="Screw", description="All but a plain hole have one.", examples=["M8", "1/2-13"])]
Face = Annotated[Literal["top", "bottom"], Meta(title="Face", description="The face that it is milled from.")]
Corner = Annotated[
    Length,
    Meta(
        title="Corner radius",
        description="Of its inner corners; usually that of the slimmest end mill that reaches so deep.",
        examples=["8 mm", "0.375 in"],
    ),
]


class MadeHole(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag_field="feature"):
    """A hole of one kind: by its screw, or plain by its diameter; through, unless its depth is said."""

    kind: Annotated[
        Literal["tapped", "locating", "combination", "clearance", "counterbored", "plain"],
        Meta(
            title="Kind of hole",
            description="clearance: for a screw to pass; counterbored: also for its head, and always through; plain: "
            "by its own diameter.",
        ),
    ]
    screw: Screw | UnsetType = UNSET
    diameter: (
        Annotated[Length, Meta(title="Diameter", description="Of a plain hole.", examples=["12 mm"])] | UnsetType
    ) = UNSET
    tolerance: (
        Annotated[
            Length,
            Meta(
                title="Size tolerance",
                description="Width of a plain hole's size tolerance, upward; left out where a drill will do.",
                examples=["0.02 mm"],
            ),
        ]
        | UnsetType
    ) = UNSET
    depth: (
        Annotated[Length, Meta(title="Depth", description="As drilled; through, where left out.", examples=["20 mm"])]
        | UnsetType
    ) = UNSET


class PlacedHoles(MadeHole, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="hole"):
    """Like holes, each where it is said."""

    at: Annotated[
        tuple[Point, ...],
        Meta(title="Centres", min_length=1, max_length=MOST_PLACES, examples=[[{"x": "120 mm", "y": "80 mm"}]]),
    ]


class HoleCircle(MadeHole, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="bolt_circle"):
    """Like holes evenly on a circle, counterclockwise from the start angle."""

    centre: (
        Annotated[Point, Meta(title="Centre", description="The middle of the plate, where left out.")] | UnsetType
    ) = UNSET
    circle: Annotated[Length, Meta(title="Bolt circle diameter", examples=["100 mm", "4 in"])]
    count: Annotated[int, Meta(title="Holes", ge=1, le=MOST_ON_CIRCLE, examples=[6])]
    start_angle: Annotated[
        float,
        Meta(
            title="Start angle, degrees",
            description="Of the first hole, counterclockwise from the right of the centre.",
            ge=-360,
            le=360,
            examples=[30],
        ),
    ] = 0


class PlacedBore(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag_field="feature", tag="bore"):
    """A close-tolerance bore through the plate."""

    at: Annotated[Point, Meta(title="Centre", description="The middle of the plate, where left out.")] | UnsetType = (
        UNSET
    )
    diameter: Annotated[Length, Meta(title="Diameter", examples=["80 mm", "3 in"])]
    tolerance: (
        Annotated[
            Length,
            Meta(
                title="Size tolerance",
                description="Width of its size tolerance, upward; usually that of grade IT7.",
                examples=["0.03 mm"],
            ),
        ]
        | UnsetType
    ) = UNSET


class Area(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag_field="feature"):
    """An area: a rectangle by length and width, a circle by its diameter, or an outline by its corners."""

    at: (
        Annotated[
            Point,
            Meta(title="Middle", description="Of a rectangle or circle; that of the plate, where left out."),
        ]
        | UnsetType
    ) = UNSET
    length: (
        Annotated[Length, Meta(title="Length", description="Of a rectangle, to the right.", examples=["80 mm"])]
        | UnsetType
    ) = UNSET
    width: (
        Annotated[Length, Meta(title="Width", description="Of a rectangle, upward.", examples=["40 mm"])] | UnsetType
    ) = UNSET
    diameter: Annotated[Length, Meta(title="Diameter", description="Of a circle.", examples=["60 mm"])] | UnsetType = (
        UNSET
    )
    outline: (
        Annotated[
            tuple[Point, ...],
            Meta(
                title="Outline",
                description="Corners in their order, either way around; the last is joined to the first.",
                min_length=3,
                max_length=MOST_CORNERS,
            ),
        ]
        | UnsetType
    ) = UNSET


class Pocket(Area, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="pocket"):
    """An area milled out to a flat floor."""

    depth: Annotated[Length, Meta(title="Depth", examples=["12 mm", "0.5 in"])]
    corner_radius: Corner | UnsetType = UNSET
    face: Face = "top"


class Slot(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag_field="feature", tag="slot"):
    """A straight slot with round ends."""

    start: Annotated[Point, Meta(title="Start", description="Centre of its first rounding.")]
    end: Annotated[Point, Meta(title="End", description="Centre of its other rounding.")]
    width: Annotated[Length, Meta(title="Width", examples=["14 mm", "0.5 in"])]
    depth: (
        Annotated[Length, Meta(title="Depth", description="Through, where left out.", examples=["10 mm"])] | UnsetType
    ) = UNSET
    face: Face = "top"


class CutOut(Area, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="cut_out"):
    """An area cut out through the plate."""

    corner_radius: Corner | UnsetType = UNSET


class KeepOut(Area, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="keep_out"):
    """An area that has no holes of the pattern; it costs nothing."""


Feature = PlacedHoles | HoleCircle | PlacedBore | Pocket | Slot | CutOut | KeepOut

Features = Annotated[
    tuple[Feature, ...],
    Meta(
        title="Features",
        description="What stands at places of its own beside the pattern, which makes way for it.",
        max_length=MOST_FEATURES,
        examples=[[{"feature": "bore", "diameter": "50 mm"}]],
    ),
]
"""The type of the field `features` of a flat plate's spec."""
