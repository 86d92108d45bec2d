"""Thread engagement: the screw must break before the thread strips."""

from collections.abc import Iterator
from math import pi

from tallyplate.contract import HoleGroup, Screw, Thread
from tallyplate.findings.depth import CLAMPING, ENGAGED, where
from tallyplate.findings.finding import Case, Finding, Severity
from tallyplate.units import decimal_text

SOURCE = "stress area: ISO 898-1; stripping area: FED-STD-H28/2B, formula 2a; strengths and limits of size of shop data"

CAUTION = "Keep clamping forces well below, and follow local rules and a competent person's advice"


def stress_area(screw: Screw) -> float:
    """Tensile stress area in mm2: pi/4 (d - 0.9382 P)^2 (ISO 898-1).

    Used for inch threads too, which have the same profile; their own formula and tables give up to 2 % less.
    """
    return pi / 4 * (screw.major - 0.9382 * screw.pitch) ** 2


def strip_area(pitch: float, least_major: float, widest_pitch_diameter: float) -> float:
    """Area in mm2 a mm of engagement at which a tapped thread strips (FED-STD-H28/2B, formula 2a).

    pi / P x Ds (P/2 + (Ds - En) / sqrt 3), with the screw's least major diameter Ds and the tapped thread's greatest
    pitch diameter En, all in mm.
    """
    return pi / pitch * least_major * (pitch / 2 + (least_major - widest_pitch_diameter) / 3**0.5)


def engagement(load: float, strip_area: float, shear: float) -> float:
    """Length in mm of a thread that bears a load in N: load / (stripping area a mm x shear strength in MPa)."""
    return load / (strip_area * shear)


def breaking_load(screw: Screw) -> float:
    """Newtons at which a screw of its grade may break: stress area x least tensile strength; 0 where none is stated."""
    return stress_area(screw) * screw.strength.tensile if screw.strength else 0.0


def needed(group: HoleGroup, case: Case) -> float | None:
    """The length of thread in mm with which the screw breaks first; None where a strength is not stated.

    A wire insert's tapped thread is larger all round and strips there; it is taken to lose as much to its tolerances
    as the screw's own thread does (from memory: their tolerances are alike).
    """
    thread, shear = group.hole.thread, case.shop.materials[case.build.body.material].shear
    screw = case.shop.screws.get(thread.designation) if thread else None
    limits = screw.strength if screw else None
    if thread is None or screw is None or limits is None or shear is None:
        return None
    larger = thread.major - screw.major
    area = strip_area(thread.pitch, limits.least_major + larger, limits.widest_pitch_diameter + larger)
    return engagement(breaking_load(screw), area, shear)


def check(case: Case) -> Iterator[Finding]:
    """Thread that would strip before its screw breaks, though it is as long as the rule of thumb asks.

    Of several kinds of hole with one thread, the sentence is about the one that strips first.
    """
    worst: dict[tuple[str, str], tuple[float, HoleGroup, Thread]] = {}
    for group in case.build.holes:
        thread, least = group.hole.thread, needed(group, case)
        if group.kind not in CLAMPING or thread is None or least is None:
            continue
        if ENGAGED[group.kind] * thread.major <= thread.depth < least:
            place = where(group, case.build.body), thread.designation
            if place not in worst or thread.depth < worst[place][2].depth:
                worst[place] = least, group, thread
    for (pointer, designation), (least, group, thread) in worst.items():
        screw = case.shop.screws[designation]
        yield _strips(case, pointer, group, thread, screw, least)


def _strips(case: Case, pointer: str, group: HoleGroup, thread: Thread, screw: Screw, least: float) -> Finding:
    breaks = breaking_load(screw) / 1000
    title, grade = case.shop.materials[case.build.body.material].title, screw.strength.grade if screw.strength else ""
    return Finding(
        "thread-strips",
        Severity.CAUTION,
        pointer,
        f"{decimal_text(thread.depth, 2)} mm of {thread.designation} thread in {group.kind} holes in {title} strip at "
        f"{breaks * thread.depth / least:.0f} kN, before a screw of {grade} breaks at {breaks:.0f} kN; "
        f"{decimal_text(least, 1)} mm would outlast it. {CAUTION}",
        f"{SOURCE} {case.shop.id}",
    )
