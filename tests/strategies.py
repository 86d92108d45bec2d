"""Hypothesis strategies for plates and orders, aimed at the steps where a price jumps.

A plate is drawn backwards: first the holes, then the size that they need, exactly or a micrometre to either side; its
thickness from the stock that it just fits; its quantity from the crate or the price break that it just fills. Lengths
are exact fractions of a millimetre until they are written, so that a step is hit and not merely approached.
"""

from fractions import Fraction
from typing import Any, Final, NamedTuple

from hypothesis import strategies as st

from tallyplate.contract import Build, Refusal, Usual
from tallyplate.inquiry import read
from tallyplate_plugins.costs import packing
from tests.plates import installation

Json = dict[str, Any]
Drawn = st.SearchStrategy[Any]

CARD: Final = installation().cards[0]
SHOP: Final = installation().shops[0]
AS_OF: Final = "2026-03-02"

UNITS: Final = {
    "mm": Fraction(1),
    "in": Fraction(254, 10),
    "cm": Fraction(10),
    "um": Fraction(1, 1000),
    "m": Fraction(1000),
    "ft": Fraction(3048, 10),
}
UM: Final = Fraction(1, 1000)

ARRANGEMENTS: Final = ("alternating", "combination", "separate")
MAYBE: Final = (None, False, True)
MARKING: Final = st.none() | st.fixed_dictionaries(
    {"edges": st.lists(st.sampled_from(("left", "right", "bottom", "top")), max_size=4, unique=True)}
)
FREE: Final[Json] = {"surface": "none"}
"""Nothing holds the plate, so that no position of the pattern makes way."""
SOME_LEFT_OUT: Final = st.none() | st.lists(st.integers(1, 4), max_size=2, unique=True)
BREAKS: Final = (51, 101, 251)
"""Pieces from which the demonstration's card charges less for bushings and threaded inserts."""


def exact(figure: float) -> Fraction:
    """A shop figure as the decimal that somebody wrote."""
    return Fraction(repr(float(figure)))


def in_mm(text: str) -> Fraction:
    """What a length text says, read by other means than the service's."""
    *number, unit = text.split(" ")
    return sum(map(Fraction, number), Fraction(0)) * UNITS[unit]


def written(mm: Fraction, unit: str) -> str | None:
    """A length written exactly in a unit, as a decimal or else a fraction; None where that takes too many digits."""
    value = mm / UNITS[unit]
    whole, rest = divmod(value, 1)
    if not (rest * 10**9) % 1:
        decimals = f"{int(rest * 10**9):09d}".rstrip("0")
        return f"{whole}.{decimals} {unit}" if decimals else f"{whole} {unit}"
    if max(whole, rest.denominator) > 999_999:
        return None
    return f"{whole} {rest} {unit}" if whole else f"{rest} {unit}"


def said(draw: st.DrawFn, mm: Fraction) -> str:
    """A length in any unit that can say it exactly; the simplest is mm."""
    text = written(mm, one_of(draw, *UNITS)) or written(mm, "mm")
    assert text is not None
    return text


def one_of(draw: st.DrawFn, *choices: Any) -> Any:
    """One of some values, the simplest first."""
    return choices[draw(st.integers(0, len(choices) - 1))]


def given_fields(fields: Json) -> Json:
    """A JSON object without the fields that were left open."""
    return {name: value for name, value in fields.items() if value is not None}


def maybe_said(draw: st.DrawFn, mm: Fraction) -> str | None:
    """A length, or a field left open, which is the simplest."""
    return said(draw, mm) if draw(st.booleans()) else None


def thickness(draw: st.DrawFn, material: str) -> Fraction:
    """A finished thickness that a stock thickness just leaves, or just fails to leave."""
    sheet = one_of(draw, *SHOP.materials[material].stock.values())
    leaves = exact(one_of(draw, *sheet.thicknesses)) - 2 * exact(sheet.clean_up)
    return leaves + one_of(draw, 0, UM, -UM, -2)


def tolerance(draw: st.DrawFn) -> Fraction:
    """A tolerance at a limit where a shop probes more, bores or grinds, or just within it."""
    return one_of(draw, 50, 10, 15, 20, 30, 40, 100) * UM - one_of(draw, 0, UM / 10)


class Grid(NamedTuple):
    """A lattice in mm, before it is written: whether its pitch is the screw's usual one, and its origin if stated."""

    usual: bool
    pitch: Fraction
    margin: Fraction
    origin: tuple[Fraction, Fraction] | None


def grid(draw: st.DrawFn, screw: str) -> Grid:
    """A lattice for a screw: the usual one, or one that just leaves a wall between holes or to an edge."""
    sizes, walls = SHOP.screws[screw], SHOP.walls
    widest, usual = max(exact(sizes.bushing_outside), exact(sizes.locating)), exact(sizes.usual_pitch)
    snug, edge = widest + exact(walls.between_holes), widest / 2 + exact(walls.to_edge)
    pitch = one_of(draw, usual, usual + 5, 2 * usual, snug, snug - UM)
    margins = pitch, usual, edge, edge - UM
    origin = (one_of(draw, *margins), one_of(draw, *margins)) if draw(st.booleans()) else None
    return Grid(pitch == usual, pitch, one_of(draw, *margins), origin)


def side(draw: st.DrawFn, lattice: Grid, start: Fraction) -> Fraction:
    """The side of a plate that just holds so many holes, or one fewer, from a start to the far margin."""
    count = one_of(draw, *range(1, 13), 26, 27)
    slack = one_of(draw, 0, UM, lattice.pitch / 2, lattice.pitch - UM, -UM)
    return start + (count - 1) * lattice.pitch + lattice.margin + slack


def lattice_fields(draw: st.DrawFn, lattice: Grid, *, pitch_needed: bool = False, left_out: bool = True) -> Json:
    """A lattice as JSON. A pitch or margin that is the usual one may go unsaid."""
    origin = lattice.origin and {"x": said(draw, lattice.origin[0]), "y": said(draw, lattice.origin[1])}
    say_pitch = said if pitch_needed or not lattice.usual else maybe_said
    say_margin = maybe_said if lattice.margin == lattice.pitch else said
    pitch, margin = say_pitch(draw, lattice.pitch), say_margin(draw, lattice.margin)
    fields: Json = {"pitch": pitch, "margin": margin, "origin": origin}
    if one_of(draw, False, False, True):
        fields["pitch_across"] = said(draw, one_of(draw, lattice.pitch, 2 * lattice.pitch, lattice.pitch + 7))
        fields["margin"] = said(draw, lattice.margin)
    if left_out and one_of(draw, False, False, False, True):
        fields |= {name: draw(SOME_LEFT_OUT) for name in ("rows_left_out", "columns_left_out")}
    return given_fields(fields)


def pattern(draw: st.DrawFn, lattice: Grid, screw: str, arrangement: str) -> Json:
    """A pattern as JSON; `lattice` is the only one, or the locating holes'."""
    fields: Json = {"arrangement": arrangement, "screw": screw}
    fields["bushings"], fields["thread_inserts"] = one_of(draw, *MAYBE), one_of(draw, *MAYBE)
    if lattice.origin is None:
        fields["laid_from"] = one_of(draw, None, None, None, "margin", "shared", "centre", "table")
    if arrangement != "separate":
        about = fields.get("laid_from") in {"centre", "table"}  # a larger plate has other numbers for its rows there
        fields["staggered"] = one_of(draw, None, None, True) if arrangement == "combination" else None
        return given_fields(fields) | lattice_fields(draw, lattice, left_out=not (fields["staggered"] and about))
    fields["locating"] = lattice_fields(draw, lattice, pitch_needed=True)
    if draw(st.booleans()):
        fields["tapped"] = lattice_fields(draw, grid(draw, screw), pitch_needed=True)
    return given_fields(fields)


@st.composite
def mountings(draw: st.DrawFn) -> Json:
    """A mounting as JSON, its surface stated; the simplest is none."""
    surface = one_of(draw, "none", "t_slots", "tapped_grid")
    if surface == "none":
        return FREE
    spacing = one_of(draw, Fraction(100), Fraction(63), Fraction(50), 2 * UNITS["in"])
    fields: Json = {
        "surface": surface,
        "locate": one_of(draw, None, "pins", "retractable_pins", "keys", "none"),
        "screw": one_of(draw, None, *SHOP.screws),
        "slot_spacing" if surface == "t_slots" else "grid_pitch": maybe_said(draw, spacing),
    }
    if surface == "t_slots":
        fields["slot_width"] = maybe_said(draw, exact(one_of(draw, *SHOP.t_slots).width))
    return given_fields(fields)


def part(draw: st.DrawFn, arrangements: tuple[str, ...]) -> tuple[Fraction, Fraction, Json]:
    """A plate or a zone of one: its length and its width, and the pattern for which it just has room, or just not."""
    screw = one_of(draw, *SHOP.screws)
    lattice = grid(draw, screw)
    start = lattice.origin or (lattice.margin, lattice.margin)
    sides = [side(draw, lattice, first) for first in start]
    return sides[0], sides[1], pattern(draw, lattice, screw, one_of(draw, *arrangements))


@st.composite
def plates(
    draw: st.DrawFn,
    mounting: Drawn | None = None,
    arrangements: tuple[str, ...] = ARRANGEMENTS,
    materials: tuple[str, ...] = tuple(SHOP.materials),
    zoned: bool = True,
) -> Json:
    """A whole plate as JSON, `zoned` some with two zones. `mounting` draws its mounting, None for one left open."""
    material, (length, width, own) = one_of(draw, *materials), part(draw, arrangements)
    laid_out: Json = {"pattern": own}
    if zoned and one_of(draw, *5 * (False,), True):
        _, above, other = part(draw, arrangements)
        lower: Json = {"length": said(draw, length), "width": said(draw, width), "pattern": own}
        upper = {"length": said(draw, length), "width": said(draw, above), "pattern": other}
        laid_out = {"zones": [lower, upper | {"corner": {"y": said(draw, width)}}]}
        width += above
    return given_fields(
        {
            "family": "rectangular",
            "length": said(draw, length),
            "width": said(draw, width),
            "thickness": maybe_said(draw, thickness(draw, material)),
            "material": material,
            **laid_out,
            "position_tolerance": maybe_said(draw, tolerance(draw)),
            "flatness": maybe_said(draw, tolerance(draw)),
            "finish": one_of(draw, None, *SHOP.materials[material].finishes),
            "marking": draw(MARKING),
            "mounting": draw(st.none() | mountings() if mounting is None else mounting),
        }
    )


def build_of(plate: Json) -> Build:
    """The build of a plate; raises `Refusal`."""
    families = installation().families
    inquiry = read({"plate": plate}, families)
    return families[inquiry.family].build(inquiry.plate, SHOP, Usual())


@st.composite
def quantities(draw: st.DrawFn, plate: Json) -> int:
    """A few plates; or as many as just begin a crate, or just reach a price break; or one fewer."""
    few, exactly = one_of(draw, 1, 2, 3, 4, 5), one_of(draw, 0, -1)
    try:
        build = build_of(plate)
    except Refusal:
        return few
    crate = SHOP.figures(packing.Figures).crate_load / SHOP.mass(build.body)
    crates = [int(full * crate) + 1 for full in (1, 2, 3)]
    breaks = [-(-start // part.count) for part in build.fitted() for start in BREAKS]
    return one_of(draw, few, max(1, one_of(draw, *crates) + exactly), max(1, one_of(draw, few, *breaks) + exactly))


@st.composite
def requests(draw: st.DrawFn, plate: Drawn | None = None) -> Json:
    """A price request as JSON, its date stated, so that its price is the same for ever."""
    drawn = draw(plates() if plate is None else plate)
    return {"plate": drawn, "quantity": draw(quantities(drawn)), "as_of": AS_OF}
