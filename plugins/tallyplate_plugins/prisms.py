"""Blocks whose working faces stand about an upright axis: two back to back, or the sides of a regular polygon.

The polygon's measures are Euclid's: of n sides w, the reach is w / (2 tan(pi / n)) and the area n w reach / 2. Face 1
looks to the right of the base, the others follow counterclockwise as seen from above. Lengths are mm.
"""

from math import cos, pi, sin, tan, tau
from typing import Final

from msgspec import Struct

from tallyplate.contract import Body, Face

BACK_TO_BACK: Final = 2
"""Faces of a block that is no polygon but has two faces and a depth between them."""


class Prism(Struct, frozen=True):
    """A block of `faces` working faces, each so wide and so high; `depth` parts two that lie back to back.

    `wall` is what a hollow one, open at both ends, leaves under each face; 0 for a solid one.
    """

    faces: int
    width: float
    height: float
    depth: float = 0.0
    wall: float = 0.0

    @property
    def reach(self) -> float:
        """How far a face lies from the axis."""
        return self.depth / 2 if self.faces == BACK_TO_BACK else self.width / (2 * tan(pi / self.faces))

    @property
    def corner(self) -> float:
        """Angle in degrees inside the block between neighbouring faces; 0 where two lie back to back."""
        return 180 - 360 / self.faces

    @property
    def half(self) -> tuple[float, float]:
        """Half the sides of the box about the axis that holds it, to the right and to the front."""
        if self.faces == BACK_TO_BACK:
            return self.depth / 2, self.width / 2
        out = self.width / (2 * sin(pi / self.faces))
        corners = [tau * (number + 0.5) / self.faces for number in range(self.faces)]
        return out * max(abs(cos(turn)) for turn in corners), out * max(abs(sin(turn)) for turn in corners)

    def _scaled(self, wall: float) -> tuple[float, float]:
        """Area and outline of the section that lies so far within the faces."""
        if self.faces == BACK_TO_BACK:
            width, depth = self.width - 2 * wall, self.depth - 2 * wall
            return width * depth, 2 * (width + depth)
        side = self.width * (1 - wall / self.reach)
        return self.faces * side * (self.reach - wall) / 2, self.faces * side

    @property
    def section(self) -> tuple[float, float]:
        """Area and outline of the block in plan, without its hollow."""
        return self._scaled(0.0)

    @property
    def hollow(self) -> tuple[float, float]:
        """Area and outline of its hollow in plan."""
        return self._scaled(self.wall) if self.wall else (0.0, 0.0)

    def standing(self) -> tuple[Face, ...]:
        """Its working faces."""
        area = self.width * self.height
        return tuple(
            Face(f"face {number + 1}", self.width, self.height, area, number / self.faces, self.reach)
            for number in range(self.faces)
        )

    @property
    def lifted_at(self) -> tuple[tuple[float, float], ...]:
        """Places on the upper end, measured from the corner of its box, that balance it about the axis.

        In the walls of a hollow block, two on opposite sides, or one on each side where none has an opposite. In a
        solid one nearer the axis, clear of the faces' holes; between two faces, on the plane that parts them.
        """
        right, front = self.half
        if self.faces == BACK_TO_BACK:
            aside = self.width / 2 - self.wall / 2 if self.wall else self.width / 4
            return (right, front - aside), (right, front + aside)
        out = self.reach - self.wall / 2 if self.wall else self.reach / 3
        sides = 2 if self.faces % 2 == 0 else self.faces
        turns = [tau * side / sides for side in range(sides)]
        return tuple((right + out * cos(turn), front + out * sin(turn)) for turn in turns)


def on_base(material: str, prism: Prism, overhang: float, foot: float) -> Body:
    """A block on its base: a rectangle about the block's axis that overhangs it, `foot` thick."""
    length, width = (2 * (half + overhang) for half in prism.half)
    (section, outline), (hollow, within) = prism.section, prism.hollow
    plan, around, height = length * width, 2 * (length + width), prism.height + foot
    end = Face("upper end", 2 * prism.half[0], 2 * prism.half[1], section - hollow)
    return Body(
        material=material,
        length=length,
        width=width,
        thickness=height,
        plan_area=plan,
        perimeter=around,
        volume=section * prism.height + plan * foot - hollow * height,
        surface=outline * prism.height + within * height + 2 * (plan - hollow) + around * foot,
        named=("face_width", "face_width", "height"),
        faces=(*prism.standing(), end),
        rim=foot,
    )
