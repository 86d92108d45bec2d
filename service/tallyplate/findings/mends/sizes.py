"""Proposals about the body: its size, its material, and what stands in it."""

from collections.abc import Callable, Iterator
from math import inf

from tallyplate.contract import HoleGroup, Material, Screw
from tallyplate.contract.holes import STI_MAJOR
from tallyplate.findings.depth import CLAMPING, ENGAGED
from tallyplate.findings.finding import Case, Finding
from tallyplate.findings.mends.proposal import AtLeast, AtMost, Proposal, one
from tallyplate.findings.threads import needed

MATERIALS = 2
"""Other materials proposed for one finding."""

STIFF = 0.2
"""Least share of the present stiffness that another material may have: no plastic in place of metal."""

SHORT = 0.85
"""Share of a limit that is tried where the limit itself does not do, such as when stock comes in steps."""


def resized(case: Case, *sizes: AtLeast | AtMost | None) -> Proposal:
    """Length, width and thickness set anew, by the names that the family has for them; None leaves one alone."""
    named = zip(case.build.body.named, sizes, strict=False)
    fields = {name: size for name, size in named if size is not None}
    words = " and ".join(f"the {name.replace('_', ' ')} {{{index}}}" for index, name in enumerate(fields))
    return Proposal(f"make {words}", tuple((f"/plate/{name}", size) for name, size in fields.items()))


def of_material(case: Case, better: Callable[[Material], float]) -> Iterator[Proposal]:
    """Other materials that are `better` than 0 by some figure, those of the same group and the least change first."""
    now = case.shop.materials[case.build.body.material]
    ranked = sorted(
        (material.group != now.group, better(material), name)
        for name, material in case.shop.materials.items()
        if material is not now and better(material) > 0 and material.modulus >= STIFF * now.modulus
    )
    for _, _, name in ranked[:MATERIALS]:
        material = case.shop.materials[name]
        words, change = f"make it of {material.title}", ("/plate/material", name)
        if case.build.finish in material.finishes:
            yield Proposal(words, (change,))
        else:
            finish = material.finishes[0]
            yield Proposal(f"{words}, finished {finish}", (change, ("/plate/finish", finish)))


def smaller_screws(case: Case, pointer: str, now: Screw | None) -> Iterator[Proposal]:
    """The next two smaller screws, for a field that names one."""
    smaller = [(screw.major, name) for name, screw in case.shop.screws.items() if now and screw.major < now.major]
    for _, name in sorted(smaller, reverse=True)[:2]:
        yield one("take {0} screws", pointer, name)


def for_depth(case: Case, _: Finding) -> Iterator[Proposal]:
    """A plate thick enough for every seat and the thread below it; or smaller screws."""
    yield from _deeper(case, max(_depths(case), default=0.0))
    for asked, group in {group.asked: group for group in case.build.holes}.items():
        yield from smaller_screws(case, f"{asked}/screw", screw_of(group, case))


def _depths(case: Case) -> Iterator[float]:
    """Thickness in mm that each thing wants that stands in the plate."""
    for group in case.build.holes:
        yield _wanted(group, case)
    for recess in case.build.recesses:
        yield recess.depth + case.shop.walls.to_edge


def _wanted(group: HoleGroup, case: Case) -> float:
    """Depth in mm that a hole wants for its seat, which a plate too thin has cut short, and what stands below it."""
    above, thread, engaged = group.hole.above, group.hole.thread, ENGAGED.get(group.kind)
    screw = screw_of(group, case) if above or (engaged and thread is None) else None
    if above and screw:
        above = max(above, screw.counterbore_depth if group.mounting else screw.bushing_length)
    if engaged is None:
        return above + case.shop.walls.to_edge if above else 0.0
    if thread is None and screw:
        major = screw.major + (STI_MAJOR * screw.pitch if "thread_insert" in group.hole.parts else 0.0)
    else:
        major = thread.major if thread else group.hole.bores[0].diameter
    return above + engaged * major


def screw_of(group: HoleGroup, case: Case) -> Screw | None:
    """The screw that a hole is made for: by name, or by the counterbore that sinks its head."""
    screws, wide = case.shop.screws, group.hole.widest
    named = screws.get(group.hole.size)
    if named or not group.mounting:
        return named
    return next((screw for screw in screws.values() if screw.counterbore == wide), None)


def for_threads(case: Case, _: Finding) -> Iterator[Proposal]:
    """Room for thread enough, wire inserts, or a material that bears more."""
    most, deepest, short = case.shop.usual.thread_diameters, 0.0, []
    for group in case.build.holes:
        least, thread = needed(group, case), group.hole.thread
        if group.kind in CLAMPING and least is not None and thread is not None and thread.depth < least:
            short.append(group)
            deepest = max(deepest, group.hole.above + least)
            if least > most * case.shop.screws[thread.designation].major:
                deepest = inf
    if deepest < inf:
        yield from _deeper(case, deepest)
    for asked in dict.fromkeys(group.asked for group in short):
        yield one("fit wire thread inserts", f"{asked}/thread_inserts", True)
    shear = case.shop.materials[case.build.body.material].shear or 0.0
    yield from of_material(case, lambda material: (material.shear or 0.0) - shear)


def _deeper(case: Case, deepest: float) -> Iterator[Proposal]:
    yield resized(case, None, None, AtLeast(deepest))
    yield one("make the wall {0}", "/plate/wall", AtLeast(deepest))
    yield one("make the base {0} thick", "/plate/base/thickness", AtLeast(deepest))


def for_travel(case: Case, _: Finding) -> Iterator[Proposal]:
    """A body within the machine's travels, each side against the travel that it lies along."""
    machine, body = case.shop.machine, case.build.body
    long, short = max(machine.travel_x, machine.travel_y), min(machine.travel_x, machine.travel_y)
    limits = (long, short) if body.length >= body.width else (short, long)
    sizes = zip((body.length, body.width), limits, strict=True)
    too_long = [AtMost(limit) if size > limit else None for size, limit in sizes]
    if any(too_long):
        yield resized(case, *too_long)
    yield resized(case, None, None, AtMost(long))
    yield resized(case, None, None, AtMost(short))


def for_load(case: Case, _: Finding) -> Iterator[Proposal]:
    """A thinner body, or one of a lighter material."""
    body = case.build.body
    density = case.shop.materials[body.material].density
    mass = max(blank.volume for blank in (case.build.blank, *case.build.other_blanks)) * density
    share = case.shop.machine.load / mass
    yield from _thinner(case, share)
    yield from _thinner(case, share * SHORT)
    yield from of_material(case, lambda material: share * density - material.density)


def for_lifting(case: Case, _: Finding) -> Iterator[Proposal]:
    """A plate that one person may lift: thinner, or of another material."""
    share = case.shop.limits.one_person_lift / case.shop.mass(case.build.body)
    density = case.shop.materials[case.build.body.material].density
    yield from _thinner(case, share)
    yield from of_material(case, lambda material: share * density - material.density)


def _thinner(case: Case, share: float) -> Iterator[Proposal]:
    """A share of the thickness, where that is enough for what stands in the plate."""
    thickness = case.build.body.thickness * share
    if all(thickness >= depth for depth in _depths(case)):
        yield resized(case, None, None, AtMost(thickness))


def for_rating(case: Case, _: Finding) -> Iterator[Proposal]:
    """Larger lifting threads."""
    rated = {name: screw.eye_bolt.leaning for name, screw in case.shop.screws.items() if screw.eye_bolt}
    for name in sorted(rated, key=lambda name: rated[name], reverse=True)[:MATERIALS]:
        yield one("take {0} lifting threads", "/plate/lifting_screw", name)
