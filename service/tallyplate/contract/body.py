"""The solid of a plate before any hole, its faces, and what it could be cut from. Lengths are mm."""

from msgspec import Struct


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
    corner: float = 0.0
    """Radius of the upright corners of a plate, whose areas and volume stay those of its box."""
    chamfer: float = 0.0
    """Width of the chamfer along the edges of both large faces, which the box counts as solid too."""

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
