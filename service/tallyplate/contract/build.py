"""The build: what the shop would make. Physical features only, in mm, with no family names and no money.

Every family writes its plate in these words and every cost module reads them, so that neither knows the other.
"""

from math import pi

from msgspec import Struct

from tallyplate.contract.body import Blank, Body, Face, flat_body
from tallyplate.contract.milled import KeptFree, Milled
from tallyplate.lattice import Lattice, Layout, Node, Points

__all__ = [
    "Blank", "Body", "Bore", "Build", "Face", "Hardware", "Hole", "HoleGroup", "KeptFree", "Lattice", "Layout", "Marks",
    "Milled", "Points", "Recess", "Table", "Thread", "Zone", "flat_body",
]  # fmt: skip


class Bore(Struct, frozen=True, gc=False):
    """One cylinder of a hole, measured from the face that it starts on."""

    diameter: float
    depth: float
    tolerance: float = 0.0
    """Width of the size tolerance in mm; 0 where a drill is close enough."""
    flat: bool = False
    """A flat-bottomed counterbore."""


class Thread(Struct, frozen=True, gc=False):
    """An internal thread: designation, and mm for the rest; `depth` is the length of full thread to be cut."""

    designation: str
    major: float
    pitch: float
    depth: float


class Hole(Struct, frozen=True, gc=False):
    """One hole's geometry: coaxial bores from the narrowest and deepest, drilled first, to the widest; and a thread.

    `through` says that the narrowest bore breaks out on the far side; `parts` are the kinds of hardware that go into
    each such hole, such as a bushing, of the size `size`.
    """

    bores: tuple[Bore, ...]
    thread: Thread | None = None
    through: bool = True
    parts: tuple[str, ...] = ()
    size: str = ""

    @property
    def widest(self) -> float:
        """Greatest diameter in mm, which is what needs room on the face."""
        widest, thread = self.bores[-1].diameter, self.thread
        return thread.major if thread and thread.major > widest else widest

    @property
    def above(self) -> float:
        """Depth in mm of what stands above the narrowest bore, where a thread begins: a bushing, a screw's head."""
        return max((bore.depth for bore in self.bores[1:]), default=0.0)

    @property
    def wall_area(self) -> float:
        """Cylindrical wall in mm2; each stretch of depth counts at the diameter that is open there."""
        area, above = 0.0, 0.0
        for bore in reversed(self.bores):
            area += pi * bore.diameter * max(0.0, bore.depth - above)
            above = max(above, bore.depth)
        return area


class HoleGroup(Struct, frozen=True, gc=False):
    """Like holes on one face: what each is, and where they lie. `kind` is the trade's word for them."""

    kind: str
    hole: Hole
    layout: Layout
    mounting: bool = False
    """Made to hold the plate on its machine, not to hold work on the plate."""
    face: str = "top"
    asked: str = ""
    """The field of the spec that asks for them, as a JSON Pointer into the request."""
    placed: bool = False
    """At places that the customer gave one by one, beside any pattern."""
    zone: int = 0
    """The number from 1 of the zone of the plate that they fill; 0 where it has none."""

    @property
    def called(self) -> str:
        """The trade's word for them, with their zone."""
        return f"{self.kind}, zone {self.zone}" if self.zone else self.kind

    @property
    def word(self) -> str:
        """What one of them is called."""
        return self.kind if self.kind == "bore" else f"{self.kind} hole"

    @property
    def count(self) -> int:
        """How many holes."""
        return self.layout.count

    @property
    def crowded(self) -> bool:
        """Whether holes of a lattice run into each other, which nobody makes: then nothing is sought hole by hole."""
        return isinstance(self.layout, Lattice) and self.layout.spacing < self.hole.widest


class Recess(Struct, frozen=True, gc=False):
    """A milled pocket or seat: mm, `count` like ones, `kind` the trade's word.

    `length` runs along the body's length. `at` are the middles of those whose places are settled, on coordinates of
    the top as those of holes are.
    """

    kind: str
    length: float
    width: float
    depth: float
    count: int
    face: str = "bottom"
    at: tuple[tuple[float, float], ...] = ()


class Hardware(Struct, frozen=True, gc=False):
    """Bought parts of one plate: the `kind`, its `size` by designation, and how many."""

    kind: str
    size: str
    count: int


class Table(Struct, frozen=True, gc=False):
    """The machine table that a plate stands on: `surface` as in the spec, and by what it is located and held.

    `spacing` is that of slots or of the tapped grid; lengths are mm, and 0 where the surface has none.
    """

    surface: str
    slot_width: float = 0.0
    spacing: float = 0.0
    locate: str = "none"
    screw: str = ""
    laid_on: bool = False
    """Whether the pattern is laid on its lines."""


class Marks(Struct, frozen=True, gc=False):
    """Engraved characters along one side of the plate: coordinates, or the customer's own `text`."""

    side: str
    characters: int
    """Those that are cut: blanks are not."""
    text: str = ""


class Zone(Struct, frozen=True, gc=False):
    """A rectangular part of the top with a pattern of its own: its lower left corner and its size in mm."""

    x: float
    y: float
    length: float
    width: float


class Build(Struct, frozen=True, gc=False):
    """All that is made, for one plate.

    `blank` is the stock it is cut from; `other_blanks` would serve as well, and the engine keeps the cheapest whole.
    """

    body: Body
    blank: Blank
    holes: tuple[HoleGroup, ...]
    hardware: tuple[Hardware, ...]
    """What holds and locates the plate; what is fitted into its holes stands with them."""
    marks: tuple[Marks, ...]
    recesses: tuple[Recess, ...]
    table: Table
    finish: str
    position_tolerance: float
    """Diameter in mm of the true-position zone of every pattern hole."""
    flatness: float
    """Flatness in mm of the large faces."""
    setups: int
    """Times a plate is clamped afresh to be machined."""
    other_blanks: tuple[Blank, ...] = ()
    given_up: tuple[tuple[str, Node], ...] = ()
    """Positions of the pattern that have no hole, by the kind that they would have had."""
    indexes: int = 0
    """Times that a clamped plate is turned to its next face."""
    replaced: tuple[Hardware, ...] = ()
    """What is pressed out of the holes of a plate that exists, and replaced by its like."""
    milled: tuple[Milled, ...] = ()
    """Pockets, slots and cut-outs where the customer wants them."""
    kept_free: tuple[KeptFree, ...] = ()
    """Areas without holes of the pattern."""
    accessories: tuple[Hardware, ...] = ()
    """What is sent or fitted for handling the plate: handles, lifting eyes."""
    zones: tuple[Zone, ...] = ()
    """Parts of the top that have a pattern each, by the numbers that groups of holes give."""
    cleared: int = 0
    """How many of the positions given up make way for what the customer placed, and not for the mounting."""

    def fitted(self) -> tuple[Hardware, ...]:
        """The hardware that goes into holes, new ones and those of a plate that exists; like parts counted together."""
        counts: dict[tuple[str, str], int] = {}
        for part in self.replaced:
            counts[part.kind, part.size] = counts.get((part.kind, part.size), 0) + part.count
        for group in self.holes:
            for kind in group.hole.parts:
                counts[kind, group.hole.size] = counts.get((kind, group.hole.size), 0) + group.count
        return tuple(Hardware(kind, size, count) for (kind, size), count in counts.items())
