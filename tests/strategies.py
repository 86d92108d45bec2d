"""Hypothesis strategies for plates and orders, aimed at the steps where a price jumps.

A plate is drawn backwards: first the holes, then the size that they need, exactly or a micrometre to either side; its
thickness from the stock that it just fits; its quantity from the crate or the price break that it just fills. Lengths
are exact fractions of a millimetre until they are written, so that a step is hit and not merely approached.
"""

from fractions import Fraction
from typing import Any, Final

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
FREE: Final[Json] = {"surface": "none"}
"""Nothing holds the plate, so that no position of the pattern makes way."""
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


def texts(mm: Fraction) -> Drawn:
    """A length in any unit that can say it exactly; the simplest is mm."""
    return st.sampled_from([text for unit in UNITS if (text := written(mm, unit))])


def maybe(strategy: Drawn) -> Drawn:
    """A field that may be left open; the simplest is open."""
    return st.none() | strategy


def given_fields(fields: Json) -> Json:
    """A JSON object without the fields that were left open."""
    return {name: value for name, value in fields.items() if value is not None}


def thicknesses(material: str) -> Drawn:
    """Finished thicknesses that a stock thickness just leaves, or just fails to leave."""
    leaves = [
        exact(size) - 2 * exact(sheet.clean_up)
        for sheet in SHOP.materials[material].stock.values()
        for size in sheet.thicknesses
    ]
    return st.tuples(st.sampled_from(leaves), st.sampled_from((Fraction(0), UM, -UM, Fraction(-2)))).map(sum)


def tolerances() -> Drawn:
    """Tolerances at the limits where a shop probes more, bores or grinds, and just within them."""
    limits = st.sampled_from([Fraction(um, 1000) for um in (50, 10, 15, 20, 30, 40, 100)])
    return st.tuples(limits, st.sampled_from((Fraction(0), -UM / 10))).map(sum)


@st.composite
def lattices(draw: st.DrawFn, screw: str) -> Json:
    """Pitch, margin and origin of one lattice for a screw, in mm: the usual ones, and those that just leave a wall."""
    sizes, walls = SHOP.screws[screw], SHOP.walls
    widest = max(exact(sizes.bushing_outside), exact(sizes.locating))
    usual, snug, edge = exact(sizes.usual_pitch), widest + exact(walls.between_holes), widest / 2 + exact(walls.to_edge)
    pitch = draw(st.sampled_from((usual, usual + 5, 2 * usual, snug, snug - UM)))
    margins = st.sampled_from((pitch, usual, edge, edge - UM))
    margin = draw(margins)
    return {
        "usual": usual,
        "pitch": pitch,
        "margin": margin,
        "origin": draw(st.none() | st.tuples(margins, margins)),
    }


@st.composite
def sides(draw: st.DrawFn, lattice: Json, start: Fraction) -> Fraction:
    """The side of a plate that just holds so many holes, or one fewer, from a start to the far margin."""
    count = draw(st.integers(1, 12) | st.sampled_from((26, 27)))
    slack = draw(st.sampled_from((Fraction(0), UM, lattice["pitch"] / 2, lattice["pitch"] - UM, -UM)))
    return start + (count - 1) * lattice["pitch"] + lattice["margin"] + slack


@st.composite
def lattice_fields(draw: st.DrawFn, lattice: Json) -> Json:
    """A lattice as JSON. Pitch and margin are said; where they are the usual ones they may go unsaid."""
    usual_pitch, usual_margin = lattice["pitch"] == lattice["usual"], lattice["margin"] == lattice["pitch"]
    origin = lattice["origin"] and dict(zip(("x", "y"), map(draw, map(texts, lattice["origin"])), strict=True))
    pitch, margin = texts(lattice["pitch"]), texts(lattice["margin"])
    return given_fields(
        {
            "pitch": draw(maybe(pitch) if usual_pitch else pitch),
            "margin": draw(maybe(margin) if usual_margin else margin),
            "origin": origin,
        }
    )


@st.composite
def patterns(draw: st.DrawFn, lattice: Json, screw: str, arrangement: str) -> Json:
    """A pattern as JSON; `lattice` is the only one, or the locating holes'."""
    fields: Json = {"arrangement": arrangement, "screw": screw}
    fields["bushings"], fields["thread_inserts"] = draw(maybe(st.booleans())), draw(maybe(st.booleans()))
    if arrangement != "separate":
        return given_fields(fields) | draw(lattice_fields(lattice))
    said = texts(lattice["pitch"])
    fields["locating"] = {"pitch": draw(said)} | draw(lattice_fields(lattice))
    tapped = draw(maybe(lattices(screw)))
    fields["tapped"] = tapped and {"pitch": draw(texts(tapped["pitch"]))} | draw(lattice_fields(tapped))
    return given_fields(fields)


@st.composite
def mountings(draw: st.DrawFn) -> Json:
    """A mounting as JSON, its surface stated; the simplest is none."""
    surface = draw(st.sampled_from(("none", "t_slots", "tapped_grid")))
    spacings = [exact(mm) for mm in (100, 63, 50)] + [2 * UNITS["in"]]
    fields: Json = {"surface": surface}
    if surface != "none":
        fields["locate"] = draw(maybe(st.sampled_from(("pins", "retractable_pins", "keys", "none"))))
        fields["screw"] = draw(maybe(st.sampled_from(tuple(SHOP.screws))))
    if surface == "t_slots":
        fields["slot_width"] = draw(maybe(st.sampled_from([exact(slot.width) for slot in SHOP.t_slots]).flatmap(texts)))
        fields["slot_spacing"] = draw(maybe(st.sampled_from(spacings).flatmap(texts)))
    if surface == "tapped_grid":
        fields["grid_pitch"] = draw(maybe(st.sampled_from(spacings).flatmap(texts)))
    return given_fields(fields)


@st.composite
def plates(
    draw: st.DrawFn,
    mounting: Drawn | None = None,
    arrangements: tuple[str, ...] = ARRANGEMENTS,
    materials: tuple[str, ...] = tuple(SHOP.materials),
) -> Json:
    """A whole rectangular plate as JSON. `mounting` draws its mounting, None for one left open."""
    material, screw = draw(st.sampled_from(materials)), draw(st.sampled_from(tuple(SHOP.screws)))
    lattice, arrangement = draw(lattices(screw)), draw(st.sampled_from(arrangements))
    start = lattice["origin"] or (lattice["margin"], lattice["margin"])
    edges = st.lists(st.sampled_from(("left", "right", "bottom", "top")), max_size=4, unique=True)
    return given_fields(
        {
            "family": "rectangular",
            "length": draw(sides(lattice, start[0]).flatmap(texts)),
            "width": draw(sides(lattice, start[1]).flatmap(texts)),
            "thickness": draw(maybe(thicknesses(material).flatmap(texts))),
            "material": material,
            "pattern": draw(patterns(lattice, screw, arrangement)),
            "position_tolerance": draw(maybe(tolerances().flatmap(texts))),
            "flatness": draw(maybe(tolerances().flatmap(texts))),
            "finish": draw(maybe(st.sampled_from(SHOP.materials[material].finishes))),
            "marking": draw(maybe(st.fixed_dictionaries({"edges": edges}))),
            "mounting": draw(maybe(mountings()) if mounting is None else mounting),
        }
    )


def build_of(plate: Json) -> Build:
    """The build of a plate; raises `Refusal`."""
    families = installation().families
    inquiry = read({"plate": plate}, families)
    return families[inquiry.family].build(inquiry.plate, SHOP, Usual())


def quantities(plate: Json) -> Drawn:
    """A few plates; or as many as just fill some crates, or just reach a price break; or one more or fewer."""
    try:
        build = build_of(plate)
    except Refusal:
        return st.just(1)
    crate = SHOP.figures(packing.Figures).crate_load / SHOP.mass(build.body)
    crates = [int(crates * crate) + 1 for crates in (1, 2, 3)]
    breaks = [-(-start // part.count) for part in build.fitted() for start in BREAKS]
    steps = st.sampled_from(crates) | (st.sampled_from(breaks) if breaks else st.nothing())
    return st.integers(1, 5) | st.tuples(steps, st.sampled_from((0, -1))).map(lambda drawn: max(1, sum(drawn)))


@st.composite
def requests(draw: st.DrawFn, plate: Drawn | None = None) -> Json:
    """A price request as JSON, its date stated, so that its price is the same for ever."""
    drawn = draw(plates() if plate is None else plate)
    return {"plate": drawn, "quantity": draw(quantities(drawn)), "as_of": AS_OF}
