"""What a plate looks like from each side that is drawn, as figures: enough to draw it to scale beside its holes."""

from collections.abc import Iterator

from msgspec import UNSET, Struct, UnsetType

from tallyplate.contract import Build, Lattice
from tallyplate.documents.drawings.views import FaceView, face_views
from tallyplate.documents.measures import Measure
from tallyplate.documents.schedules.holes import lattices


class LatticeAnswer(Struct, frozen=True, gc=False):
    """The lattice that is engraved: the centre of its lower left position, its pitches, and how many positions."""

    x: str
    y: str
    pitch_x: str
    pitch_y: str
    columns: int
    rows: int


class ZoneAnswer(Struct, frozen=True, gc=False):
    """A zone of the top: its number, its lower left corner and size, and what is engraved along its own edges."""

    zone: int
    x: str
    y: str
    length: str
    width: str
    marked: tuple[str, ...]
    lattice: LatticeAnswer | None


class ViewAnswer(Struct, frozen=True, gc=False):
    """A view of the plate: its size, whether its outline is a circle, and the `faces` whose holes it shows.

    `marked` are the sides along which the lattice's letters (columns, from A) and numbers (rows, from 1) are engraved.
    """

    title: str
    length: str
    width: str
    disc: bool
    faces: tuple[str, ...]
    marked: tuple[str, ...]
    lattice: LatticeAnswer | None
    corner_radius: str | UnsetType = UNSET
    zones: tuple[ZoneAnswer, ...] | UnsetType = UNSET


class TableAnswer(Struct, frozen=True, gc=False):
    """The machine table: T-slots run along x through the holding holes, `spacing` apart; so does a grid, both ways."""

    surface: str
    slot_width: str
    spacing: str
    locate: str
    screw: str


def table_answer(build: Build, measure: Measure) -> TableAnswer:
    """The table that a plate stands on."""
    table = build.table
    return TableAnswer(
        table.surface, measure.size(table.slot_width), measure.size(table.spacing), table.locate, table.screw
    )


def view_answers(build: Build, measure: Measure) -> tuple[ViewAnswer, ...]:
    """The plan first, then the working faces from left to right."""
    *faces, plan = face_views(build, first_angle=False)
    return tuple(_view(build, view, measure) for view in (plan, *faces))


def _view(build: Build, view: FaceView, measure: Measure) -> ViewAnswer:
    sides = _sides(build, f"{view.engraved} " if view.engraved != "top" else "")
    found = lattices(build, view.engraved) if view.engraved else ()
    shown = (group.face for _, group in view.groups)
    return ViewAnswer(
        title=view.title,
        length=measure.size(view.length),
        width=measure.size(view.width),
        disc=view.disc,
        faces=tuple(dict.fromkeys(shown)),
        marked=sides if found else (),
        lattice=_lattice(found[0], measure) if found else None,
        corner_radius=measure.size(build.body.corner) if view.plan and build.body.corner else UNSET,
        zones=tuple(_zones(build, measure)) or UNSET if view.plan else UNSET,
    )


def _sides(build: Build, prefix: str) -> tuple[str, ...]:
    """The sides that bear coordinates, of those that are known by a prefix."""
    return tuple(
        marks.side.removeprefix(prefix) for marks in build.marks if marks.side.startswith(prefix) and not marks.text
    )


def _zones(build: Build, measure: Measure) -> Iterator[ZoneAnswer]:
    for number, zone in enumerate(build.zones, start=1):
        found, sides = lattices(build, "top", number), _sides(build, f"zone {number} ")
        lattice = _lattice(found[0], measure) if found else None
        x, y = measure.place(zone.x), measure.place(zone.y)
        length, width = measure.size(zone.length), measure.size(zone.width)
        yield ZoneAnswer(number, x, y, length, width, sides if found else (), lattice)


def _lattice(of: Lattice, measure: Measure) -> LatticeAnswer:
    sizes = (measure.place(of.x), measure.place(of.y), measure.size(of.pitch_x), measure.size(of.pitch_y))
    return LatticeAnswer(*sizes, of.columns, of.rows)
