"""The plates that the laws are tried on: a few dozen, the same every time, standing at the steps where a price jumps.

They are made from what the shop data offer: each material in each of its finishes, each screw, arrangement and mounting
is on some plate. Plates of a family that are not flat and rectangular are taken at the examples that its spec states,
each material in one of its finishes.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final, TypeVar

from tallyplate.contract import Family, Length, Marking, Mounting, Pattern, PlateSpec, Screw, ShopData
from tallyplate.proof.specs import asks, choices, examples, flat, unexampled
from tallyplate.rates.walk import figures
from tallyplate.units import decimal_text, length

Json = dict[str, Any]
Choice = TypeVar("Choice")

FEWEST: Final = 24
"""Least number of plates of a family."""
HAIR: Final = 0.001
"""A micrometre: from a step to just beyond it."""
FINE: Final = 0.0001
"""A tenth of a micrometre, the least length: from the limit of a tolerance to just within it."""
COARSE: Final = 1.0
"""Lengths below a millimetre are limits of tolerances."""
FREE: Final[Json] = {"surface": "none"}
"""Nothing holds the plate, so that its pattern keeps all its holes."""
COLUMNS: Final = (18, 21, 16, 15, 27, 19)
ROWS: Final = (6, 4, 9, 5, 7)
BESIDE: Final = (0.0, -HAIR, 10.0)
"""What is left beside the last hole, in mm: it just fits, just fails to, or has room."""


def mm(size: float) -> str:
    """A size as a caller writes it."""
    return f"{decimal_text(size, 6)} mm"


def sample(families: Mapping[str, Family], shop: ShopData) -> Iterator[Json]:
    """Plates of every family as a caller would ask for them; the shop may refuse some."""
    for name, family in sorted(families.items()):
        if not unexampled(family.spec):
            yield from _of_family(name, family.spec, shop)


def _of_family(name: str, spec: type[PlateSpec], shop: ShopData) -> Iterator[Json]:
    is_flat, drilled, mounted = flat(spec), asks(spec, "pattern", Pattern), asks(spec, "mounting", Mounting)
    finished = [*_finished(shop, every=is_flat)]
    screws, mountings, tight = tuple(shop.screws), tuple(_mountings(shop)), tolerances(shop)
    fewest = max(FEWEST, len(mountings)) if is_flat else 0
    for number in range(max(fewest, len(finished), len(screws)) if finished else 0):
        material, finish = _turn(finished, number)
        screw = _turn(screws, number)
        plate: Json = {"family": name, **examples(spec), "material": material, "finish": finish}
        plate |= {"position_tolerance": _turn(tight, number), "flatness": _turn(tight, number, 2)}
        if is_flat:
            plate |= _sizes(number, material, shop.screws[screw], shop)
        if drilled:
            plate["pattern"] = _pattern(number, screw, shop.screws[screw])
        if mounted:
            plate["mounting"] = _turn(mountings, number)
        yield plate


def _finished(shop: ShopData, *, every: bool) -> Iterator[tuple[str, str]]:
    """Each material in every finish that it takes, or in one of them."""
    for number, (material, has) in enumerate(shop.materials.items()):
        finishes = has.finishes or (shop.usual.finish,)
        yield from ((material, finish) for finish in (finishes if every else (_turn(finishes, number),)))


def _turn(options: Sequence[Choice], number: int, step: int = 1) -> Choice:
    """Each option in turn; a round begins `step` options farther on than the last, so that all kinds meet."""
    return options[(number + step * (number // len(options))) % len(options)]


def _sizes(number: int, material: str, screw: Screw, shop: ShopData) -> Json:
    """Length and width by the holes that they just hold, thickness by the stock that just leaves it."""
    pitch, beside = screw.usual_pitch, _turn(BESIDE, number)
    stock = shop.materials[material].stock.values()
    leaves = [size - 2 * sheet.clean_up for sheet in stock for size in sheet.thicknesses]
    return {
        "length": mm((_turn(COLUMNS, number) + 1) * pitch + beside),
        "width": mm((_turn(ROWS, number) + 1) * pitch + beside),
        "thickness": mm(_turn(leaves, 7 * number)),
    }


def _pattern(number: int, designation: str, screw: Screw) -> Json:
    """A pattern whose margins and origins are said, so that they stay where the plate changes."""
    pitch, arrangement = screw.usual_pitch, _turn(choices(Pattern, "arrangement"), number)
    pattern = {"arrangement": arrangement, "screw": designation, "thread_inserts": not number % 4}
    lattice = {"pitch": mm(pitch), "margin": mm(pitch)}
    if arrangement != "separate":
        return pattern | lattice
    between = {"origin": {"x": mm(1.5 * pitch), "y": mm(1.5 * pitch)}}
    return pattern | {"locating": lattice, "tapped": lattice | between}


def _mountings(shop: ShopData) -> Iterator[Json]:
    """None; every slot and, on a tapped grid, every screw, each located otherwise than the one before."""
    locate = choices(Mounting, "locate")
    yield FREE
    for number, slot in enumerate(shop.t_slots):
        yield {"surface": "t_slots", "slot_width": slot.width.text, "locate": _turn(locate, number)}
    for number, screw in enumerate(shop.screws):
        yield {"surface": "tapped_grid", "screw": screw, "locate": _turn(locate, number)}


def tolerances(shop: ShopData) -> list[str]:
    """Tolerances at every limit that the shop data state, and just within it; from wide to tight."""
    limits = {float(leaf) for _, leaf in figures(shop) if isinstance(leaf, Length) and leaf < COARSE}
    limits |= {float(shop.usual.position_tolerance), float(shop.usual.flatness)}
    within = {limit - FINE for limit in limits if limit > 2 * FINE}
    return [mm(limit) for limit in sorted(limits | within, reverse=True)]


def larger(size: str, material: str, shop: ShopData) -> list[str]:
    """A size, a little more, and every greater length that the shop data state, just reached and just passed.

    Stock ends an allowance earlier, for a blank is larger than its plate.
    """
    least = length(size)
    stock = shop.materials[material].stock.values()
    limits = {float(leaf) for _, leaf in figures(shop) if isinstance(leaf, Length)}
    limits |= {end - 2 * sheet.edge_allowance for sheet in stock for end in (sheet.longest, sheet.widest)}
    beyond = {limit + more for limit in limits if limit > least for more in (0.0, HAIR)}
    return [size, *map(mm, sorted({least + HAIR, *beyond}))]


def coarser(plate: Json, times: int) -> Json:
    """The same plate with every pitch so many times as wide, so that its holes are among the others."""
    pattern = plate["pattern"]
    both = {name: _wider(pattern[name], times) for name in ("locating", "tapped") if name in pattern}
    return plate | {"pattern": pattern | both if both else _wider(pattern, times)}


def _wider(lattice: Json, times: int) -> Json:
    return lattice | {"pitch": mm(times * length(lattice["pitch"]))}


def marked(plate: Json) -> Iterator[Json]:
    """The same plate with no edge marked, then with one more each time."""
    edges = choices(Marking, "edges")
    for count in range(len(edges) + 1):
        yield plate | {"marking": {"edges": list(edges[:count])}}
