"""Where things stand on a sheet: the views in the largest scale that fits, and the sections in a grid."""

from collections.abc import Iterator, Sequence
from math import ceil
from typing import Final

from msgspec import Struct

from tallyplate.contract import Build
from tallyplate.documents.drawings.paper import PAPERS, DrawingOptions, chosen, ratio
from tallyplate.documents.drawings.plan import padding
from tallyplate.documents.drawings.shapes import Spot
from tallyplate.documents.drawings.views import FaceView, Placed

MARGIN: Final = 10.0
GUTTER: Final = 4.0
EDGE: Final = 9.0
"""Room in mm of paper about the view of the edge."""
CAPTION: Final = 6.0
NARROWEST, WIDEST = 92.0, 150.0
"""The column for what is written."""
SMALLEST: Final = 27.0
"""Side of the smallest box that a section can be read in."""

Box = tuple[float, float, float, float]
"""Left, lower, right and upper."""


class Regions(Struct, frozen=True):
    """The parts of a sheet within its frame."""

    frame: Box
    views: Box
    column: Box


def regions(options: DrawingOptions) -> Regions:
    """The frame, and within it the views on the left and the column on the right."""
    width, height = PAPERS[options.paper]
    frame = MARGIN, MARGIN, width - MARGIN, height - MARGIN
    column = min(WIDEST, max(NARROWEST, 0.3 * width))
    left = frame[2] - column
    inner = frame[1] + GUTTER, frame[3] - GUTTER
    return Regions(
        frame,
        (frame[0] + GUTTER, inner[0], left - GUTTER, inner[1]),
        (left, inner[0], frame[2] - GUTTER, inner[1]),
    )


class Row(Struct, frozen=True):
    """Views beside each other: what they take in mm of paper at any scale, and in mm of the plate."""

    faces: tuple[FaceView, ...]
    pads: tuple[tuple[float, float, float, float], ...]

    @property
    def fixed(self) -> Spot:
        """Width and height of the dimensions."""
        return sum(pad[0] + pad[2] for pad in self.pads), max(pad[1] + pad[3] for pad in self.pads)

    @property
    def scaled(self) -> Spot:
        """Width and height of the faces."""
        return sum(face.length for face in self.faces), max(face.width for face in self.faces)


def rows_of(build: Build, faces: Sequence[FaceView], columns: int) -> list[Row]:
    """The views, so many to a row; several are named below, which takes room."""
    named = CAPTION if len(faces) > 1 else 0.0

    def pad(face: FaceView) -> tuple[float, float, float, float]:
        left, below, right, above = padding(build, face)
        return left, below + named, right, above

    cut = [tuple(faces[start : start + columns]) for start in range(0, len(faces), columns)]
    return [Row(row, tuple(map(pad, row))) for row in cut]


def placed(build: Build, faces: tuple[FaceView, ...], options: DrawingOptions) -> tuple[str, list[Placed], Spot]:
    """The scale, every view on paper, and the lower left corner of the view of the edge, which plates alone have."""
    left, lower, right, upper = regions(options).views
    edge = 0.0 if build.body.faces else build.body.thickness
    edge_room = 0.0 if build.body.faces else EDGE
    best, rows = 0.0, rows_of(build, faces, 1)
    for columns in range(1, len(faces) + 1):
        tried = rows_of(build, faces, columns)
        across = min((right - left - row.fixed[0]) / row.scaled[0] for row in tried)
        tall = sum(row.scaled[1] for row in tried) + edge
        along = (upper - lower - edge_room - sum(row.fixed[1] for row in tried)) / tall
        if min(across, along) > best:
            best, rows = min(across, along), tried
    scale = chosen(options, best)
    factor = ratio(scale)
    spare = upper - lower - edge_room - sum(row.fixed[1] + row.scaled[1] * factor for row in rows) - edge * factor
    gap = spare / (len(rows) + 1)
    first_angle = options.projection == "first_angle"
    y = upper - gap - (edge * factor + edge_room if first_angle else 0.0)
    views: list[Placed] = []
    for row in rows:
        y -= row.scaled[1] * factor + max(pad[3] for pad in row.pads)
        free = (right - left - row.fixed[0] - row.scaled[0] * factor) / (len(row.faces) + 1)
        x = left
        for face, pad in zip(row.faces, row.pads, strict=True):
            x += free + pad[0]
            views.append(Placed(face, (x, y), factor))
            x += face.length * factor + pad[2]
        y -= max(pad[1] for pad in row.pads) + gap
    plan = views[-1]
    above = plan.box[3] + padding(build, plan.face)[3] + EDGE / 2
    below = plan.box[1] - padding(build, plan.face)[1] - EDGE / 2 - edge * factor
    return scale, views, (plan.corner[0], above if first_angle else below)


def grid(count: int, box: Box) -> Iterator[Box]:
    """Boxes for so many sections, as large as they can be; fewer where they would be too small to read."""
    left, lower, right, upper = box
    wide, high = right - left, upper - lower
    for shown in range(count, 0, -1):
        score, columns = max((min(wide / many, high / ceil(shown / many)), many) for many in range(1, shown + 1))
        if score >= SMALLEST:
            rows = ceil(shown / columns)
            for number in range(shown):
                row, column = divmod(number, columns)
                x, y = left + column * wide / columns, upper - (row + 1) * high / rows
                yield x, y, x + wide / columns, y + high / rows
            return
