"""Proposals about holes that stand too close to each other or to an edge."""

from collections.abc import Iterator
from itertools import combinations_with_replacement
from math import asin, hypot, pi, sin, sqrt

from tallyplate.contract import HoleGroup, Lattice, Points, Taken
from tallyplate.findings.finding import Case, Finding
from tallyplate.findings.lifting import LIFTING
from tallyplate.findings.mends.proposal import AtLeast, AtMost, Proposal, one
from tallyplate.findings.mends.sizes import screw_of, smaller_screws

LARGER = (1.25, 1.5, 2.0)
"""Times the width of a block's faces that are tried."""

ROUNDING = 1.1
"""Millimetres that two margins may gain when they are rounded up."""

BARE = Proposal(
    "hold it without screws of its own",
    (
        ("/plate/mounting/surface", "none"),
        *(
            (f"/plate/mounting/{name}", None)
            for name in ("slot_width", "slot_spacing", "grid_pitch", "screw", "locate")
        ),
    ),
)


def for_walls(case: Case, finding: Finding) -> Iterator[Proposal]:
    """Holes farther apart: a wider pitch, another arrangement, smaller holes; or a larger plate for mounting holes."""
    asked, groups = finding.pointer, [group for group in case.build.holes if group.asked == finding.pointer]
    lattices = [group for group in groups if isinstance(group.layout, Lattice)]
    if lattices:
        yield from _wider(asked, AtLeast(_least_pitch(lattices, case)), lattices)
        if case.build.body.faces:
            yield from _clear_of_other_faces(case, asked)
        if any("bushing" in group.hole.parts for group in lattices):
            yield one("leave out the bushings", f"{asked}/bushings", False)
        yield one("let combination and tapped holes take turns", f"{asked}/arrangement", "alternating")
        yield from smaller_screws(case, f"{asked}/screw", screw_of(lattices[0], case))
        return
    if case.build.body.disc:
        for group in groups:
            yield from _about_centre(case, group, asked)
    yield from _mounted(case, groups, asked)


def _clear_of_other_faces(case: Case, asked: str) -> Iterator[Proposal]:
    """The usual margin, which keeps clear of the next face; or a larger block."""
    usual = Proposal("keep the usual margin", ((f"{asked}/margin", None), (f"{asked}/origin", None)))
    yield usual
    for face in case.build.body.faces[:1]:
        for times in LARGER:
            size = ("/plate/face_width", AtLeast(face.length * times))
            yield Proposal("make the faces {0} wide and keep the usual margin", (size, *usual.changes))


def _wider(asked: str, pitch: AtLeast, lattices: list[HoleGroup]) -> Iterator[Proposal]:
    if not any(group.kind == "locating" for group in lattices):
        yield one("make the pitch {0}", f"{asked}/pitch", pitch)
        layouts = [group.layout for group in lattices if isinstance(group.layout, Lattice)]
        if any(layout.pitch_x != layout.pitch_y for layout in layouts):
            both = ((f"{asked}/pitch", pitch), (f"{asked}/pitch_across", None))
            yield Proposal("make the pitch {0} both ways", both)
        return
    yield Proposal(
        "make the locating pitch {0}, with the tapped holes halfway between",
        ((f"{asked}/locating/pitch", pitch), (f"{asked}/tapped", None)),
    )
    yield Proposal(
        "let combination and tapped holes take turns on one lattice",
        ((f"{asked}/arrangement", "alternating"), (f"{asked}/locating", None), (f"{asked}/tapped", None)),
    )


def _least_pitch(lattices: list[HoleGroup], case: Case) -> float:
    """The pitch in mm of one lattice at which all its kinds, or two lattices half a pitch apart, leave their walls.

    One kind alone that takes every other node is staggered: its rows have the whole pitch between holes.
    """
    least = 0.0
    for first, second in combinations_with_replacement(lattices, 2):
        apart = (first.hole.widest + second.hole.widest) / 2 + case.shop.walls.between_holes
        taking_turns = len(lattices) > 1 and getattr(first.layout, "taken", Taken.ALL) is not Taken.ALL
        if first is second:
            least = max(least, apart / sqrt(2) if taking_turns else apart)
        else:
            least = max(least, apart if taking_turns else apart * sqrt(2))
    return least


def _about_centre(case: Case, group: HoleGroup, asked: str) -> Iterator[Proposal]:
    """Fewer holes on a bolt circle, or one farther from its neighbours; a smaller centre bore, or none."""
    diameter, apart = _circle(group, case), group.hole.widest + case.shop.walls.between_holes
    if group.count > 1:
        yield one("make the bolt circle {0}", f"{asked}/diameter", AtLeast(apart / sin(pi / group.count)))
        fewer = int(pi / asin(apart / diameter)) if apart < diameter else 1
        yield one("put {0} holes on the bolt circle", f"{asked}/count", max(1, min(fewer, group.count)))
    for other in case.build.holes:
        if other is group or not isinstance(other.layout, Points):
            continue
        between, step = _circle(other, case), apart + other.hole.widest + case.shop.walls.between_holes
        if diameter:
            yield one("make the bolt circle {0}", f"{asked}/diameter", AtLeast(between + step))
            yield one("make the bolt circle {0}", f"{asked}/diameter", AtMost(between - step))
        else:
            yield one("make the centre bore {0}", asked, AtMost(between - step + group.hole.widest))
            yield one("make the bolt circle {0}", f"{other.asked}/diameter", AtLeast(step))
    if not diameter:
        yield one("leave out the centre bore", asked, None)


def _circle(group: HoleGroup, case: Case) -> float:
    """Diameter in mm of the circle that holes lie on, about the centre of a disc."""
    centre, (x, y) = case.build.body.length / 2, next(group.layout.positions())
    return 2 * hypot(x - centre, y - centre)


def _mounted(case: Case, groups: list[HoleGroup], asked: str) -> Iterator[Proposal]:
    """A larger plate, or a smaller screw, or no mounting."""
    body, walls = case.build.body, case.shop.walls
    for group in groups:
        short = group.hole.widest + walls.between_holes - group.layout.spacing
        if short > 0:
            for side, size in enumerate((body.length, body.width)):
                name = body.named[side]
                yield one(f"make the {name.replace('_', ' ')} {{0}}", f"/plate/{name}", AtLeast(size + short))
    for group in groups[:1]:
        yield from smaller_screws(case, f"{asked}/screw", screw_of(group, case))
    yield BARE


def for_edges(case: Case, finding: Finding) -> Iterator[Proposal]:
    """A margin wide enough for the widest hole, wherever it is said; or a smaller circle or screw."""
    asked, groups = finding.pointer, [group for group in case.build.holes if group.asked == finding.pointer]
    widest = max((group.hole.widest for group in groups), default=0.0)
    margin, inside = AtLeast(widest / 2 + case.shop.walls.to_edge), f"{asked}/margin"
    yield one("keep a margin of {0}", inside, margin)
    yield Proposal("keep a margin of {0}, with no origin", ((inside, margin), (f"{asked}/origin", None)))
    settings = (("margin", margin), ("origin", None))
    both = [(f"{asked}/{kind}/{field}", value) for kind in ("locating", "tapped") for field, value in settings]
    yield Proposal("keep a margin of {0} in both lattices, with no origin", tuple(both))
    yield Proposal("keep a margin of {0} among locating holes, with no origin", tuple(both[:2]))
    yield Proposal("keep a margin of {0} among tapped holes, with no origin", tuple(both[2:]))
    narrow = case.build.body.width < case.build.body.length
    side = case.build.body.named[narrow]
    larger = (f"/plate/{side}", AtLeast(2 * margin.mm + ROUNDING))
    yield Proposal(f"keep a margin of {{0}} and make the {side} {{1}}", ((inside, margin), larger))
    yield one("make the bolt circle {0}", f"{asked}/diameter", AtMost(case.build.body.length - 2 * margin.mm))
    yield one("make the wall {0}", "/plate/wall", AtLeast(widest + 2 * case.shop.walls.to_edge))
    for group in groups[:1]:
        pointer = asked if group.kind == LIFTING else f"{asked}/screw"
        yield from smaller_screws(case, pointer, screw_of(group, case))
