"""What a plate looks like from each side that is drawn, as figures: enough to draw it to scale beside its holes."""

from msgspec import Struct

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
    prefix = f"{view.engraved} " if view.engraved != "top" else ""
    sides = tuple(
        marks.side.removeprefix(prefix) for marks in build.marks if marks.side.startswith(prefix) and not marks.text
    )
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
    )


def _lattice(of: Lattice, measure: Measure) -> LatticeAnswer:
    sizes = (measure.place(of.x), measure.place(of.y), measure.size(of.pitch_x), measure.size(of.pitch_y))
    return LatticeAnswer(*sizes, of.columns, of.rows)
