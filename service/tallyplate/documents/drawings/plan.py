"""A face as it is drawn: outline, engraved names, centre lines, and dimensions."""

from collections.abc import Iterator
from math import cos, sin, tau
from typing import Final

from tallyplate.contract import Build, Lattice
from tallyplate.contract.outlines import rectangle as rounded
from tallyplate.documents.drawings.dimensions import UPRIGHT, Look, chain, dimension, places
from tallyplate.documents.drawings.marking import engraved_names, engraved_texts
from tallyplate.documents.drawings.milled import outline_shapes
from tallyplate.documents.drawings.shapes import NORMAL, Circle, Line, Shape, Spot, rectangle
from tallyplate.documents.drawings.views import FAR_SIDE, FaceView, Placed, circle, scattered
from tallyplate.documents.drawings.zones import zone_shapes
from tallyplate.documents.measures import Measure
from tallyplate.documents.schedules.holes import lattices

NEAR: Final = 8.0
"""From an outline to the nearest dimension line, in mm of paper."""
NEXT: Final = 7.5
"""From a dimension line to the next."""
LABELS: Final = 4.0
"""What engraved names take where they stand outside an outline."""
PLACES: Final = 20.0
"""What distances from a corner take."""
BESIDE: Final = 22.0
"""Room on the right of a working face for a figure that has none within."""
LOOKS: Final = Look(after=False), Look(upright=True, after=False, tail=LABELS + NEAR + 2)
"""Both first distances may have to be told outside the same corner, so that one of them keeps clear of the other."""
TIMES: Final = "\u00d7"


def padding(build: Build, face: FaceView) -> tuple[float, float, float, float]:
    """Room in mm of paper that dimensions take left, below, right and above a face."""
    found = lattices(build, face.engraved)
    near = LABELS + NEAR + (NEXT if found else 0.0) + NORMAL + 2
    far = LABELS + (NEAR if len(found) > 1 else 0.0) + (PLACES if scattered(face) else 0.0)
    return near, near, far if face.plan else max(far, BESIDE), far


def face_shapes(build: Build, view: Placed, measure: Measure) -> Iterator[Shape]:
    """Everything of a face but its holes."""
    left, lower, right, upper = view.box
    if view.face.disc:
        middle = ((left + right) / 2, (lower + upper) / 2)
        yield Circle("OUTLINE", middle, (right - left) / 2)
        for _, group in view.face.groups:
            if radius := circle(view.face.diameter, group):
                yield Circle("CENTER_LINES", middle, radius * view.scale)
    elif view.face.plan and build.body.corner:
        yield from outline_shapes("OUTLINE", rounded(0, 0, view.face.length, view.face.width, build.body.corner), view)
    else:
        yield from rectangle("OUTLINE", left, lower, right, upper)
    if view.face.plan:
        yield from _block(build, view)
    if not build.body.faces:
        yield from _recesses(build, view)
        yield from _milled(build, view)
        yield from zone_shapes(build, view, measure)
    found = lattices(build, view.face.engraved)
    names = engraved_names(build, view, found[0]) if found else []
    yield from names
    yield from engraved_texts(build, view)
    near = LABELS if any(one.at[0] < left or one.at[1] < lower for one in names) else 0.0
    far = LABELS if any(one.at[0] > right or one.at[1] > upper for one in names) else 0.0
    yield from _near(view, found, near, measure)
    yield from _far(view, found, far, measure)


def _block(build: Build, view: Placed) -> Iterator[Shape]:
    """The working faces of a block as they are seen from above."""
    body = build.body
    for face in (face for face in body.faces if face.reach):
        x, y = cos(tau * face.turn), sin(tau * face.turn)
        middle = body.length / 2 + face.reach * x, body.width / 2 + face.reach * y
        half = face.length / 2
        ends = (view.at(middle[0] + side * y * half, middle[1] - side * x * half) for side in (-1, 1))
        yield Line("OUTLINE", next(ends), next(ends))


def _recesses(build: Build, view: Placed) -> Iterator[Shape]:
    """Seats whose places are settled: a plate is seen from above, so that those in its underside are hidden."""
    for recess in build.recesses:
        layer = "HIDDEN" if recess.face == FAR_SIDE else "OUTLINE"
        for x, y in recess.at:
            left, lower = view.at(x - recess.length / 2, y - recess.width / 2)
            right, upper = view.at(x + recess.length / 2, y + recess.width / 2)
            yield from rectangle(layer, left, lower, right, upper)


def _milled(build: Build, view: Placed) -> Iterator[Shape]:
    """Pockets, slots and cut-outs, hidden where they open below; and areas kept free, in chain lines."""
    for one in build.milled:
        hidden = one.face == FAR_SIDE and not one.through
        yield from outline_shapes("HIDDEN" if hidden else "OUTLINE", one.outline, view)
    for free in build.kept_free:
        yield from outline_shapes("CENTER_LINES", free.outline, view)


def _near(view: Placed, found: tuple[Lattice, ...], labels: float, measure: Measure) -> Iterator[Shape]:
    """Below and on the left: the finest lattice, and beyond it the overall size."""
    face, (left, lower, right, upper) = view.face, view.box
    at = labels + NEAR
    if found:
        yield from _lattice(view, found[0], (lower - labels, left - labels), (lower - at, left - at), measure)
        at += NEXT
    overall = f"\u00d8{measure.size(face.length)}" if face.disc else measure.size(face.length)
    yield from dimension((left, right), lower, lower - at, overall)
    if not face.disc:
        yield from dimension((lower, upper), left, left - at, measure.size(face.width), UPRIGHT)


def _far(view: Placed, found: tuple[Lattice, ...], labels: float, measure: Measure) -> Iterator[Shape]:
    """Above and on the right: single holes by their places, and beyond them the second lattice."""
    left, lower, right, upper = view.box
    single = [spot for group in scattered(view.face) for spot in group.layout.positions()]
    for axis, base, limits in ((0, upper + labels, (left, right)), (1, right + labels, (lower, upper))):
        values = sorted({round(spot[axis], 4) for spot in single})
        told = [(view.corner[axis] + value * view.scale, measure.size(value)) for value in values]
        yield from places(told, base, limits, upright=axis == 1)
    if len(found) > 1:
        at = labels + NEAR + (PLACES if single else 0.0)
        yield from _lattice(view, found[1], (upper + labels, right + labels), (upper + at, right + at), measure)


def _lattice(view: Placed, lattice: Lattice, bases: Spot, ats: Spot, measure: Measure) -> Iterator[Shape]:
    """Along both axes the first hole's distance from the lower left corner, and the pitch as often as it comes."""
    axes = ((lattice.x, lattice.pitch_x, lattice.columns), (lattice.y, lattice.pitch_y, lattice.rows))
    for axis, (first, pitch, count) in enumerate(axes):
        span = measure.size(pitch * (count - 1))
        steps = span if count == 2 else f"{count - 1} {TIMES} {measure.size(pitch)} = {span}"  # noqa: PLR2004 - one step
        edge, start = view.corner[axis], view.corner[axis] + first * view.scale
        words = measure.size(first), steps
        yield from chain(edge, (start, pitch * view.scale, count), bases[axis], ats[axis], words, LOOKS[axis])
