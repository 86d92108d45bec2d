"""A face as it is drawn: outline, engraved names, centre lines, and dimensions."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from tallyplate.contract import Build, Lattice
from tallyplate.contract.outlines import rectangle as rounded
from tallyplate.documents.drawings.blocks import fills, outline
from tallyplate.documents.drawings.dimensions import (
    TAIL,
    UPRIGHT,
    Look,
    chain,
    dimension,
    interrupted,
    places,
    stands,
)
from tallyplate.documents.drawings.marking import engraved_names, engraved_texts
from tallyplate.documents.drawings.milled import outline_shapes
from tallyplate.documents.drawings.shapes import NORMAL, SMALL, Circle, Line, Shape, Spot, Text, breadth, rectangle
from tallyplate.documents.drawings.views import FAR_SIDE, FaceView, Placed, circle, scattered
from tallyplate.documents.drawings.zones import TIMES, lattice_words, zone_shapes
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


def padding(build: Build, face: FaceView) -> tuple[float, float, float, float]:
    """Room in mm of paper that dimensions take left, below, right and above a face."""
    found = lattices(build, face.engraved)
    near = LABELS + NEAR + (NEXT if found else 0.0) + NORMAL + 2
    far = LABELS + (NEAR if len(found) > 1 else 0.0) + (PLACES if scattered(face) else 0.0)
    return near, near, far if face.plan else max(far, BESIDE), far


def face_shapes(build: Build, view: Placed, measure: Measure) -> Iterator[Shape]:
    """Everything of a face but its holes."""
    left, lower, right, upper = view.box
    end = view.face.end and fills(build.body, view.face.length, view.face.width)
    if view.face.disc:
        middle = ((left + right) / 2, (lower + upper) / 2)
        yield Circle("OUTLINE", middle, (right - left) / 2)
        for _, group in view.face.groups:
            if radius := circle(view.face.diameter, group):
                yield Circle("CENTER_LINES", middle, radius * view.scale)
    elif view.face.plan and build.body.corner:
        yield from outline_shapes("OUTLINE", rounded(0, 0, view.face.length, view.face.width, build.body.corner), view)
    elif not end:
        yield from rectangle("OUTLINE", left, lower, right, upper)
    if end or view.face.plan:
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
    yield from _near(build, view, found, near, measure)
    yield from _far(build, view, found, far, measure)


def _block(build: Build, view: Placed) -> Iterator[Shape]:
    """The outline of a block and its hollow as they are seen from above, about the middle of a view."""
    for start, end in outline(build.body, (view.face.length / 2, view.face.width / 2)):
        yield Line("OUTLINE", view.at(*start), view.at(*end))


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


def _near(build: Build, view: Placed, found: tuple[Lattice, ...], labels: float, measure: Measure) -> Iterator[Shape]:
    """Below and on the left: the finest lattice, and beyond it the overall size."""
    face, (left, lower, right, upper) = view.face, view.box
    at, shapes = labels + NEAR, list[Shape]()
    if found and _has_room(build, view, found[0], measure):
        shapes += _lattice(view, found[0], (lower - labels, left - labels), (lower - at, left - at), measure)
        at += NEXT
    overall = f"\u00d8{measure.size(face.length)}" if face.disc else measure.size(face.length)
    sizes = list(dimension((left, right), lower, lower - at, overall))
    if not face.disc:
        sizes += dimension((lower, upper), left, left - at, measure.size(face.width), UPRIGHT)
    yield from shapes
    yield from interrupted(sizes, [*_figures(shapes)])


def _far(build: Build, view: Placed, found: tuple[Lattice, ...], labels: float, measure: Measure) -> Iterator[Shape]:
    """Above and on the right: single holes by their places, and beyond them the second lattice."""
    left, lower, right, upper = view.box
    single = [spot for group in scattered(view.face) for spot in group.layout.positions()]
    figures: list[Text] = []
    for axis, base, limits in ((0, upper + labels, (left, right)), (1, right + labels, (lower, upper))):
        values = sorted({round(spot[axis], 4) for spot in single})
        told = [(view.corner[axis] + value * view.scale, measure.size(value)) for value in values]
        shapes = list(places(told, base, limits, upright=axis == 1))
        yield from shapes
        figures += _figures(shapes)
    if len(found) > 1 and _has_room(build, view, found[1], measure):
        at = labels + NEAR + (PLACES if single else 0.0)
        bases, ats = (upper + labels, right + labels), (upper + at, right + at)
        yield from _lattice(view, found[1], bases, ats, measure, figures)


def untold(build: Build, views: Sequence[Placed], measure: Measure) -> Iterator[str]:
    """In words, the lattices that have no room for their dimensions, those of like faces together."""
    faces: dict[str, list[str]] = {}
    for view in views:
        for one in lattices(build, view.face.engraved)[:2]:
            if not _has_room(build, view, one, measure):
                faces.setdefault(lattice_words(one, measure), []).append(view.face.engraved)
    for words, on in faces.items():
        yield f"Holes on {', '.join(sorted(on))}: {words}."


def _has_room(build: Build, view: Placed, lattice: Lattice, measure: Measure) -> bool:
    """Whether the steps along both axes are told within them, or on the right of a face where there is room."""
    last = view.at(lattice.x + (lattice.columns - 1) * lattice.pitch_x, 0.0)[0]
    beside = view.box[2] + padding(build, view.face)[2] - last - TAIL
    across, up = (
        (_steps(pitch, count, measure), pitch * (count - 1) * view.scale, count > 1)
        for pitch, count in ((lattice.pitch_x, lattice.columns), (lattice.pitch_y, lattice.rows))
    )
    fits = stands(*across[:2]) or breadth(across[0], SMALL) <= beside
    return (fits or not across[2]) and (stands(*up[:2]) or not up[2])


def _steps(pitch: float, count: int, measure: Measure) -> str:
    span = measure.size(pitch * (count - 1))
    return span if count == 2 else f"{count - 1} {TIMES} {measure.size(pitch)} = {span}"  # noqa: PLR2004 - one step


def _lattice(
    view: Placed, lattice: Lattice, bases: Spot, ats: Spot, measure: Measure, figures: Sequence[Text] = ()
) -> Iterator[Shape]:
    """Along both axes the first hole's distance from the lower left corner, and the pitch as often as it comes.

    No line runs through a figure, neither through one of these nor through those that stand there.
    """
    axes = ((lattice.x, lattice.pitch_x, lattice.columns), (lattice.y, lattice.pitch_y, lattice.rows))
    shapes: list[Shape] = []
    for axis, (first, pitch, count) in enumerate(axes):
        edge, start = view.corner[axis], view.corner[axis] + first * view.scale
        words = measure.size(first), _steps(pitch, count, measure)
        shapes += chain(edge, (start, pitch * view.scale, count), bases[axis], ats[axis], words, LOOKS[axis])
    return interrupted(shapes, [*figures, *_figures(shapes)])


def _figures(shapes: Iterable[Shape]) -> Iterator[Text]:
    return (shape for shape in shapes if isinstance(shape, Text))
