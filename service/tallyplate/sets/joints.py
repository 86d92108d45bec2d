"""A plate joined to its neighbour at an edge: dowels that place it, keys that keep it level, and the work for both.

Each joined edge has two dowels, in the first and the last gap between the rows that run up to it, and two keys beside
them; half of each stands in either plate. Dowels and keys are the neighbour's to the right and above: a plate joined at
its right or top edge brings them, one joined at its left or bottom edge has the holes and seats alone. Nothing draws
the plates together: each is held to the table by its own screws (common practice, no source).
"""

from collections.abc import Sequence
from typing import Final, Literal

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import (
    Build,
    Hardware,
    Hole,
    HoleGroup,
    Lattice,
    Points,
    Recess,
    ShopData,
    pin_hole,
    refuse,
)
from tallyplate.findings import Finding, Severity
from tallyplate.units import decimal_text

Edge = Literal["left", "right", "bottom", "top"]

BRINGING: Final = ("right", "top")
"""Edges whose dowels and keys come with the plate."""

UPRIGHT: Final = ("left", "right")
"""Edges that rows of the pattern run up to, rather than columns."""

PAIR: Final = 2
"""Dowels, and keys, of a joint."""

DEEP: Final = 1.5
"""Diameters that a dowel stands in either plate, as every pressed pin (common practice, no source)."""

OF_THICKNESS: Final = 1 / 3
"""Most of the thickness that a dowel's hole takes in an edge (common practice, no source)."""

KEY_LENGTH: Final = 3
"""Widths that a key is long; it stands a third of its width in either plate, as a slot key does in its seat."""


class Run(Struct, frozen=True):
    """The rows, or columns, that run up to an edge: where the first lies along it, how far apart, how many.

    `behind` is how far the nearest hole of the pattern lies from the edge. `held` are the holes of the mounting: how
    far along the edge each lies, how far behind it, and how wide it is.
    """

    first: float
    pitch: float
    count: int
    behind: float
    held: tuple[tuple[float, float, float], ...]

    @property
    def dowels(self) -> tuple[float, float]:
        """The middles of the first and of the last gap."""
        return self.first + self.pitch / 2, self.first + (self.count - 1.5) * self.pitch


def joined(build: Build, edges: Sequence[Edge], shop: ShopData, pointer: str) -> Build:
    """A plate with its joints: refuses what has no room for them, at a pointer into the request."""
    if build.body.disc or build.body.faces:
        raise refuse(pointer, "only plates with straight edges are joined; accepted: a rectangular plate")
    for edge in dict.fromkeys(edges):
        build = _joint(build, edge, shop, pointer)
    return build


def caution(edges: Sequence[Edge], pointer: str) -> Finding:
    """What a joint is not."""
    return Finding(
        "joined",
        Severity.CAUTION,
        pointer,
        f"joined at {', '.join(edges)}: a joined plate is neither as stiff nor as true as one piece; the position "
        "tolerance holds within each section, not over the joint. Lift and clamp each section by itself, and measure "
        "across the joint once it stands on the table",
        "common practice, no source",
    )


def _joint(build: Build, edge: Edge, shop: ShopData, pointer: str) -> Build:
    run = _run(build, edge, pointer)
    size = _size(run, build, shop, pointer)
    dowel = float(shop.screws[size].locating)
    places = Points(tuple((place, build.body.thickness / 2) for place in run.dowels))
    hole = pin_hole(size, DEEP * dowel, shop, through=False)
    brought = (Hardware("joint_dowel", size, PAIR), Hardware("joint_key", size, PAIR)) if edge in BRINGING else ()
    return replace(
        build,
        holes=(*build.holes, HoleGroup("joint dowel", hole, places, mounting=True, face=f"{edge} edge")),
        recesses=(
            *build.recesses,
            Recess("joint_key_seat", KEY_LENGTH * dowel, dowel, dowel / 3, PAIR, f"{edge} edge"),
        ),
        hardware=(*build.hardware, *brought),
        setups=build.setups + 1,
    )


def _run(build: Build, edge: Edge, pointer: str) -> Run:
    """What runs up to an edge; refuses a pattern of several lattices, or of none, which has no gaps in common."""
    groups = [group for group in build.holes if not group.mounting]
    lattices = {_bare(group.layout) for group in groups if isinstance(group.layout, Lattice)}
    if len(lattices) != 1 or not all(isinstance(group.layout, Lattice) for group in groups):
        message = f"a pattern of {len(lattices)} lattices; accepted: plates with one lattice and no other holes"
        raise refuse(pointer, message)
    (lattice,) = lattices
    body = build.body
    last_x = body.length - lattice.x - (lattice.columns - 1) * lattice.pitch_x
    last_y = body.width - lattice.y - (lattice.rows - 1) * lattice.pitch_y
    behind = {"left": lattice.x, "right": last_x, "bottom": lattice.y, "top": last_y}[edge]
    beyond = {"left": 0.0, "right": body.length, "bottom": 0.0, "top": body.width}[edge]
    held = [
        (y, abs(beyond - x), group.hole.widest) if edge in UPRIGHT else (x, abs(beyond - y), group.hole.widest)
        for group in build.holes
        if group.mounting and isinstance(group.layout, Points) and not group.face.endswith("edge")
        for x, y in group.layout.at
    ]
    if edge in UPRIGHT:
        return Run(lattice.y, lattice.pitch_y, lattice.rows, behind, tuple(held))
    return Run(lattice.x, lattice.pitch_x, lattice.columns, behind, tuple(held))


def _bare(lattice: Lattice) -> Lattice:
    """A lattice by where its nodes lie, whichever of them a kind of hole takes."""
    return Lattice(lattice.x, lattice.y, lattice.pitch_x, lattice.pitch_y, lattice.columns, lattice.rows)


def _size(run: Run, build: Build, shop: ShopData, pointer: str) -> str:
    """The screw whose locators join a plate: the largest that its thickness and its holes leave room for."""
    if run.count <= PAIR:
        raise refuse(pointer, f"{run.count} rows run up to the edge; accepted: at least {PAIR + 1}, for two dowels")
    fitting = [name for name, screw in shop.screws.items() if _fits(run, float(screw.locating), build, shop)]
    if not fitting:
        smallest = min(float(screw.locating) for screw in shop.screws.values())
        raise refuse(
            pointer,
            f"no room in an edge of {decimal_text(build.body.thickness, 3)} mm for dowels of "
            f"{decimal_text(smallest, 3)} mm between rows {decimal_text(run.pitch, 3)} mm apart and clear of the "
            "mounting's holes; accepted: a thicker plate, a wider pitch or margin, or another mounting",
        )
    return max(fitting, key=lambda name: (shop.screws[name].locating, name))


def _fits(run: Run, dowel: float, build: Build, shop: ShopData) -> bool:
    """Whether solid is left around dowels and key seats of a size, in the thickness and beside every hole."""
    wall = float(shop.walls.between_holes)
    above = (build.body.thickness - dowel) / 2
    radius = max(_open_below(group.hole, above - wall) for group in build.holes if not group.mounting) / 2
    return (
        dowel <= build.body.thickness * OF_THICKNESS
        and run.pitch / 2 - radius - dowel / 2 >= wall
        and run.behind - radius - dowel / KEY_LENGTH >= wall
        and all(
            abs(along - place) >= (wide + dowel) / 2 + wall or behind >= DEEP * dowel + wide / 2 + wall
            for along, behind, wide in run.held
            for place in run.dowels
        )
    )


def _open_below(hole: Hole, depth: float) -> float:
    """How wide a hole is, at the widest, below a depth."""
    widest = max((bore.diameter for bore in hole.bores if bore.depth > depth), default=0.0)
    return max(widest, hole.thread.major) if hole.thread else widest
