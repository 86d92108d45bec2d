"""What a caller asks for: the fields that every family shares, and how an open question gets its usual answer."""

from typing import Annotated, Final, Literal, TypeVar

from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.units import Length

__all__ = [
    "LatticeSpec",
    "Length",
    "Marking",
    "Mounting",
    "Pattern",
    "PlateSpec",
    "Point",
    "Usual",
]  # fmt: skip

Given = TypeVar("Given")

Name = Annotated[str, Meta(min_length=1, max_length=60)]


class Assumption(Struct, frozen=True):
    """An answer that the caller did not give: where it would stand, what was assumed, and why."""

    pointer: str
    value: str | int | bool | list[str]
    why: str


class Usual:
    """Collects the usual answers that stood in for what a spec left open.

    A family asks for every optional answer through this, so that an answer's usual value stands in one place and no
    assumption goes unsaid.
    """

    __slots__ = ("assumed",)

    def __init__(self) -> None:
        self.assumed: list[Assumption] = []

    def __call__(self, pointer: str, given: Given | UnsetType, usual: Given, why: str) -> Given:
        """The answer given, or the usual one, which is then noted."""
        if given is not UNSET:
            return given
        value = usual if isinstance(usual, bool) else list(usual) if isinstance(usual, tuple) else str(usual)
        self.assumed.append(Assumption(pointer, value, why))
        return usual


class Point(Struct, frozen=True, forbid_unknown_fields=True):
    """A place on the plate, from its lower left corner."""

    x: Annotated[Length, Meta(title="From the left edge", examples=["35 mm", "1 in"])]
    y: Annotated[Length, Meta(title="From the lower edge", examples=["35 mm", "1 in"])]


LaidFrom = Literal["margin", "shared", "centre", "table"]
"""Where a lattice begins: from the lower left margin or an origin, centred, about a central hole, or on the table."""

MOST_LEFT_OUT: Final = 100
"""Rows, and columns, that may be left out of one lattice."""

Number = Annotated[int, Meta(ge=1)]

PitchAcross = Annotated[
    Length,
    Meta(
        title="Pitch along the width",
        description="Where rows are not as far apart as columns; usually the pitch.",
        examples=["50 mm", "2 in"],
    ),
]

LeftOut = Annotated[
    tuple[Number, ...],
    Meta(
        title="Left out",
        description="By number, counted from 1 at the lower left; those that remain keep their letters and numbers.",
        max_length=MOST_LEFT_OUT,
        examples=[[2, 3]],
    ),
]

RowsLeftOut = Annotated[LeftOut, Meta(title="Rows left out")]

ColumnsLeftOut = Annotated[LeftOut, Meta(title="Columns left out")]


class LatticeSpec(Struct, frozen=True, forbid_unknown_fields=True):
    """One lattice of holes of one kind."""

    pitch: Annotated[Length, Meta(title="Pitch", description="Centre distance between neighbouring holes.")]
    margin: (
        Annotated[Length, Meta(title="Margin", description="Least distance of a centre from an edge.")] | UnsetType
    ) = UNSET
    origin: Annotated[Point, Meta(title="Origin", description="Centre of the lower left hole.")] | UnsetType = UNSET
    pitch_across: PitchAcross | UnsetType = UNSET
    rows_left_out: RowsLeftOut = ()
    columns_left_out: ColumnsLeftOut = ()


class Pattern(Struct, frozen=True, forbid_unknown_fields=True):
    """The holes that work is located by and clamped with."""

    arrangement: (
        Annotated[
            Literal["alternating", "combination", "separate"],
            Meta(
                title="Arrangement",
                description="alternating: combination and tapped holes take turns; combination: every hole does both; "
                "separate: locating and tapped holes each have a lattice.",
            ),
        ]
        | UnsetType
    ) = UNSET
    pitch: (
        Annotated[
            Length,
            Meta(
                title="Pitch",
                description="Centre distance between neighbours. A plate has at most 5,000,000 holes.",
                examples=["35 mm", "1 in"],
            ),
        ]
        | UnsetType
    ) = UNSET
    screw: Annotated[Name, Meta(title="Clamping screw", examples=["M12", "1/2-13"])] | UnsetType = UNSET
    margin: (
        Annotated[Length, Meta(title="Margin", description="Least distance of a hole's centre from an edge.")]
        | UnsetType
    ) = UNSET
    origin: Annotated[Point, Meta(title="Origin", description="Centre of the lower left hole.")] | UnsetType = UNSET
    locating: (
        Annotated[LatticeSpec, Meta(title="Locating lattice", description="Only for a separate arrangement.")]
        | UnsetType
    ) = UNSET
    tapped: (
        Annotated[LatticeSpec, Meta(title="Tapped lattice", description="Only for a separate arrangement.")] | UnsetType
    ) = UNSET
    bushings: (
        Annotated[bool, Meta(title="Bushings", description="Hardened bushings in the close-tolerance holes.")]
        | UnsetType
    ) = UNSET
    thread_inserts: (
        Annotated[bool, Meta(title="Threaded inserts", description="Wire thread inserts in the tapped holes.")]
        | UnsetType
    ) = UNSET
    laid_from: (
        Annotated[
            LaidFrom,
            Meta(
                title="Laid from",
                description="margin: from the lower left margin, or from the origin; shared: what is left over at the "
                "far edges is shared by both sides; centre: a hole on the centre; table: rows over the slots of the "
                "machine table, or rows and columns over its tapped holes. Of separate lattices it lays the locating "
                "one.",
            ),
        ]
        | UnsetType
    ) = UNSET
    pitch_across: PitchAcross | UnsetType = UNSET
    staggered: (
        Annotated[
            bool,
            Meta(
                title="Staggered rows",
                description="Every second row shifted by half a pitch; only where every hole does both. Each half "
                "pitch is then a column with a letter.",
            ),
        ]
        | UnsetType
    ) = UNSET
    rows_left_out: RowsLeftOut = ()
    columns_left_out: ColumnsLeftOut = ()


class Mounting(Struct, frozen=True, forbid_unknown_fields=True):
    """How the plate sits on the machine: on what surface, what locates it, what holds it."""

    surface: Annotated[Literal["t_slots", "tapped_grid", "none"], Meta(title="Machine surface")] | UnsetType = UNSET
    slot_width: Annotated[Length, Meta(title="Slot width", examples=["18 mm", "11/16 in"])] | UnsetType = UNSET
    slot_spacing: (
        Annotated[Length, Meta(title="Slot spacing", description="Centre to centre.", examples=["100 mm"])] | UnsetType
    ) = UNSET
    grid_pitch: (
        Annotated[Length, Meta(title="Grid pitch", description="Of the machine's tapped grid.", examples=["100 mm"])]
        | UnsetType
    ) = UNSET
    locate: Annotated[Literal["pins", "retractable_pins", "keys", "none"], Meta(title="Located by")] | UnsetType = UNSET
    screw: Annotated[Name, Meta(title="Holding screw", examples=["M16", "5/8-11"])] | UnsetType = UNSET


Edge = Literal["left", "right", "bottom", "top"]


class Marking(Struct, frozen=True, forbid_unknown_fields=True):
    """Engraved coordinates: letters for columns along the bottom or top, numbers for rows along the left or right.

    And a text of the customer's own, such as a part number.
    """

    edges: (
        Annotated[tuple[Edge, ...], Meta(title="Marked edges", max_length=4, examples=[["left", "bottom"]])] | UnsetType
    ) = UNSET
    text: (
        Annotated[
            str,
            Meta(
                title="Engraved text",
                description="A part number or other words, engraved once; printable ASCII.",
                pattern="^[ -~]+$",
                min_length=1,
                max_length=80,
                examples=["FX-1042 REV B"],
            ),
        ]
        | UnsetType
    ) = UNSET
    text_side: Annotated[Edge, Meta(title="Side of the engraved text")] | UnsetType = UNSET


class PlateSpec(Struct, frozen=True, forbid_unknown_fields=True, tag_field="family"):
    """What every family is asked. A family adds its sizes; every field but size and material has a usual answer."""

    material: Annotated[Name, Meta(title="Material", examples=["al-6061-t6"])]
    finish: Annotated[Name, Meta(title="Finish", examples=["anodized"])] | UnsetType = UNSET
    position_tolerance: (
        Annotated[
            Length,
            Meta(
                title="Position tolerance",
                description="Diameter of the true-position zone of the holes over the whole plate.",
                examples=["0.05 mm", "0.002 in"],
            ),
        ]
        | UnsetType
    ) = UNSET
    flatness: (
        Annotated[Length, Meta(title="Flatness", description="Of the large faces.", examples=["0.05 mm"])] | UnsetType
    ) = UNSET
