"""The build: what the shop would make. Physical features only, in mm, with no family names and no money.

Every family writes its plate in these words and every cost module reads them, so that neither knows the other.
"""

from math import pi

from msgspec import Struct

from tallyplate.lattice import Lattice, Layout, Node, Points

__all__ = [
    "Blank", "Body", "Bore", "Build", "Face", "Hardware", "Hole", "HoleGroup", "Lattice", "Layout", "Marks", "Points",
    "Recess", "Table", "Thread", "flat_body",
]  # fmt: skip


class Blank(Struct, frozen=True, gc=False):
    """What the body could be cut from: the box of it in mm, and its `form` as the shop names it."""

    form: str
    length: float
    width: float
    thickness: float
    rolled: float = 0.0
    """The side that is as it was rolled, where that is not the thickness; the other two are sawn."""
    poured: float = 0.0
    """Volume in mm3 of a casting, which is not sawn; 0 for stock."""
    days: float = 0.0
    """Working days that it takes longer to come than stock does."""
    supplied: bool = False
    """Whether the customer sends it, cut to size."""
    existing: bool = False
    """Whether it is a plate that was made before, which keeps its faces and edges."""

    @property
    def volume(self) -> float:
        """Gross volume in mm3."""
        return self.poured or self.length * self.width * self.thickness

    @property
    def sawn(self) -> float:
        """Area in mm2 of the two cuts that free it from a longer and wider piece."""
        rolled = self.rolled or self.thickness
        return 0.0 if self.poured else (self.length + self.width + self.thickness - rolled) * rolled


class Face(Struct, frozen=True, gc=False):
    """A flat face beside those of the box, milled true: its name, its size in mm and its area in mm2.

    Holes on it are measured from its lower left corner, as one looks at it. `turn` is where it looks, in turns about
    the body's upright axis from the body's right side, and `reach` how far it lies from that axis in mm.
    """

    name: str
    length: float
    width: float
    area: float
    turn: float = 0.0
    reach: float = 0.0


class Body(Struct, frozen=True, gc=False):
    """The solid before any hole: a bounding box, and what a lid of that outline measures (mm, mm2, mm3)."""

    material: str
    length: float
    width: float
    thickness: float
    plan_area: float
    """Area of one large face, holes not taken out."""
    perimeter: float
    """Length of the outline in plan."""
    volume: float
    """Solid volume, holes not taken out."""
    surface: float
    """All outer surface, holes not taken out."""
    disc: bool = False
    """Whether the outline is a circle that touches the box, rather than the box itself."""
    named: tuple[str, str, str] = ("length", "width", "thickness")
    """The fields of the spec that length, width and thickness are known by."""
    faces: tuple[Face, ...] = ()
    """What stands on the body in place of a flat top; none on a plate."""
    rim: float = 0.0
    """Height of the outline's edge, where that is not the thickness."""

    @property
    def edge(self) -> float:
        """Height in mm over which the outline is milled."""
        return self.rim or self.thickness

    @property
    def milled(self) -> tuple[tuple[float, float], ...]:
        """Length and width in mm of every flat face."""
        box = (self.length, self.width)
        return (box, *((face.length, face.width) for face in self.faces)) if self.faces else (box, box)

    @property
    def milled_area(self) -> float:
        """Area in mm2 of every flat face, holes not taken out."""
        return self.plan_area + (sum(face.area for face in self.faces) if self.faces else self.plan_area)


def flat_body(
    material: str, box: tuple[float, float, float], plan_area: float, perimeter: float, *, disc: bool = False
) -> Body:
    """A body of one outline all the way through: its box in mm, and the area and length of its outline."""
    length, width, thickness = box
    return Body(
        material=material,
        length=length,
        width=width,
        thickness=thickness,
        plan_area=plan_area,
        perimeter=perimeter,
        volume=plan_area * thickness,
        surface=2 * plan_area + perimeter * thickness,
        disc=disc,
        named=("diameter", "diameter", "thickness") if disc else ("length", "width", "thickness"),
    )


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

    @property
    def count(self) -> int:
        """How many holes."""
        return self.layout.count


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


class Marks(Struct, frozen=True, gc=False):
    """Engraved characters along one side of the plate: coordinates, or the customer's own `text`."""

    side: str
    characters: int
    """Those that are cut: blanks are not."""
    text: str = ""


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

    def fitted(self) -> tuple[Hardware, ...]:
        """The hardware that goes into holes, new ones and those of a plate that exists; like parts counted together."""
        counts: dict[tuple[str, str], int] = {}
        for part in self.replaced:
            counts[part.kind, part.size] = counts.get((part.kind, part.size), 0) + part.count
        for group in self.holes:
            for kind in group.hole.parts:
                counts[kind, group.hole.size] = counts.get((kind, group.hole.size), 0) + group.count
        return tuple(Hardware(kind, size, count) for (kind, size), count in counts.items())
