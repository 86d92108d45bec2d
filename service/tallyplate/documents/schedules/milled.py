"""Pockets, slots and cut-outs, and areas kept free, as the shop reads them: in words, in rows and in fields."""

from collections.abc import Iterator

from msgspec import Struct

from tallyplate.contract import Build, Milled, Outline
from tallyplate.documents.measures import Measure
from tallyplate.documents.tables import Cell


class CoreAnswer(Struct, frozen=True, gc=False):
    """An outline: all that lies within `radius` of `core`, which is a point, a line or a polygon."""

    core: tuple[tuple[str, str], ...]
    radius: str


class MilledAnswer(Struct, frozen=True, gc=False):
    """A pocket, slot or cut-out: its outline, its depth from its face, and the radius of its inner corners."""

    kind: str
    face: str
    through: bool
    size: str
    depth: str
    corner_radius: str
    outline: CoreAnswer


def milled_answers(build: Build, measure: Measure) -> tuple[MilledAnswer, ...]:
    """Everything that is milled where the customer wants it, in a unit."""
    return tuple(
        MilledAnswer(
            one.kind, one.face, one.through, _size(one, measure), measure.size(one.depth), measure.size(one.corner),
            _core(one.outline, measure),
        )
        for one in build.milled
    )  # fmt: skip


def kept_free_answers(build: Build, measure: Measure) -> tuple[CoreAnswer, ...]:
    """The areas without holes of the pattern, in a unit."""
    return tuple(_core(free.outline, measure) for free in build.kept_free)


def milled_rows(build: Build, measure: Measure) -> Iterator[tuple[Cell, ...]]:
    """The same as rows, with the middle of each."""
    for one in build.milled:
        x, y = one.outline.middle
        yield one.kind, one.face, _reach(one, measure), measure.decimal(x), measure.decimal(y)


def milled_words(one: Milled, measure: Measure) -> str:
    """One in a sentence, as a note on a drawing calls it out."""
    x, y = map(measure.size, one.outline.middle)
    return f"{one.kind.capitalize()} {_reach(one, measure)}, {one.face} face, middle at {x}, {y}"


def _reach(one: Milled, measure: Measure) -> str:
    deep = "through" if one.through else f"{measure.size(one.depth)} deep"
    corners = f", corners R{measure.size(one.corner)}" if len(one.outline.core) > 2 else ""  # noqa: PLR2004 - a polygon
    return f"{_size(one, measure)}, {deep}{corners}"


def _size(one: Milled, measure: Measure) -> str:
    size = " \u00d7 ".join(map(measure.size, one.outline.sizes))
    if len(one.outline.core) == 1:
        return f"\u00d8{size}"
    return f"outline of {len(one.outline.core)} corners within {size}" if one.cornered else size


def _core(outline: Outline, measure: Measure) -> CoreAnswer:
    return CoreAnswer(
        tuple((measure.place(x), measure.place(y)) for x, y in outline.core), measure.place(outline.radius)
    )
