"""Which faces of a build are drawn, and where on the paper each of them stands."""

from math import hypot
from typing import Final

from msgspec import Struct

from tallyplate.contract import Build, HoleGroup, Points
from tallyplate.documents.drawings.shapes import Spot
from tallyplate.documents.schedules.holes import lattices, numbered

ALIKE: Final = 1e-6
"""Millimetres by which radii may differ that are one; less than any shop measures."""

FAR_SIDE: Final = "bottom"
"""The face that a plate is not seen from; its holes are placed as seen through from above, and drawn hidden."""


class FaceView(Struct, frozen=True):
    """A face with all holes that are placed by its coordinates, not yet on paper; mm of the plate.

    `engraved` is the face whose lattice is engraved here, empty where none is. The `plan` shows the whole body from
    above.
    """

    title: str
    plan: bool
    engraved: str
    length: float
    width: float
    disc: bool
    groups: tuple[tuple[int, HoleGroup], ...]
    end: bool = False
    """Whether it lies across the axis of a block."""

    @property
    def diameter(self) -> float:
        """That of a disc, 0 where the face is none."""
        return self.length if self.disc else 0.0


class Placed(Struct, frozen=True):
    """A face on paper: the place in mm of its lower left corner, and the scale."""

    face: FaceView
    corner: Spot
    scale: float

    def at(self, x: float, y: float) -> Spot:
        """A place of the face on paper."""
        return self.corner[0] + x * self.scale, self.corner[1] + y * self.scale

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, lower, right and upper on paper."""
        return (*self.corner, *self.at(self.face.length, self.face.width))


def face_views(build: Build, *, first_angle: bool) -> tuple[FaceView, ...]:
    """The plan, which shows every face of the box, and each working face beside those.

    From left to right stands what is seen as the body is turned: in third angle the face to the right on the right, in
    first angle on the left. `Face.turn` counts counterclockwise from above, so the next face lies to the right.
    """
    body, groups = build.body, tuple(numbered(build))
    own = {face.name for face in body.faces}
    of_box = tuple((number, group) for number, group in groups if group.face not in own)
    engraved = next((group.face for _, group in of_box if lattices(build, group.face)), "")
    around = [face for face in body.faces if face.reach]
    ends = [face for face in body.faces if not face.reach]
    plan = FaceView("top view", True, engraved, body.length, body.width, body.disc, of_box)
    faces = [
        FaceView(
            face.name, False, face.name, face.length, face.width, disc=False,
            groups=tuple((number, group) for number, group in groups if group.face == face.name),
            end=not face.reach,
        )
        for face in (*sorted(around, key=lambda face: face.turn, reverse=first_angle), *ends)
    ]  # fmt: skip
    return (*faces, plan)


def scattered(face: FaceView) -> list[HoleGroup]:
    """The groups that lie on no lattice and on no circle about the centre of a disc."""
    single = [group for _, group in face.groups if isinstance(group.layout, Points)]
    return [group for group in single if not circle(face.diameter, group)]


def circle(diameter: float, group: HoleGroup) -> float:
    """The radius in mm of the circle about the centre of a disc on which a group lies; 0 where it lies on none."""
    if not diameter or not isinstance(group.layout, Points):
        return 0.0
    radii = [hypot(x - diameter / 2, y - diameter / 2) for x, y in group.layout.at]
    return radii[0] if max(radii) - min(radii) < ALIKE else 0.0
