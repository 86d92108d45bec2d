"""Mass against what one person may lift, and lifting holes against the mass."""

from collections.abc import Iterator

from tallyplate.contract import HoleGroup, ShopData
from tallyplate.contract.loads import LEANING
from tallyplate.findings.finding import Case, Finding, Severity
from tallyplate.units import decimal_text

LIFTING = "lifting"
"""The kind of hole that an eye bolt goes into."""

CAUTION = "follow local rules and a competent person's advice"


def capacity(group: HoleGroup, shop: ShopData) -> float | None:
    """Mass in kg that eye bolts in these holes are rated for; None where no rating is stated."""
    screw = shop.screws.get(group.hole.thread.designation) if group.hole.thread else None
    bolt = screw.eye_bolt if screw else None
    return bolt.bears(group.count) if bolt else None


def check(case: Case) -> Iterator[Finding]:
    """A plate heavier than the load constant, which holds for the best of postures only; and what shall lift it."""
    mass, limits = case.shop.mass(case.build.body), case.shop.limits
    holes = [group for group in case.build.holes if group.kind == LIFTING]
    if mass > limits.one_person_lift and not holes:
        yield Finding(
            "heavy",
            Severity.CAUTION,
            f"/plate/{case.build.body.named[2]}",
            f"{mass:.1f} kg; one person lifts at most {limits.one_person_lift:.0f} kg in the best of postures. "
            f"Use lifting gear, and {CAUTION}",
            limits.source,
        )
    for group in holes:
        yield from _rated(group, mass, case.shop)


def _rated(group: HoleGroup, mass: float, shop: ShopData) -> Iterator[Finding]:
    bears, size = capacity(group, shop), group.hole.size or (group.hole.thread.designation if group.hole.thread else "")
    eye_bolts = f"{group.count} lifting holes {size}" if group.count > 1 else f"a lifting hole {size}"
    how = f"two slings that lean up to {LEANING} deg" if group.count > 1 else "a straight pull"
    if bears is None or mass > bears:
        rated = "have no rating stated" if bears is None else f"are rated for {decimal_text(bears, 0)} kg with {how}"
        yield Finding(
            "lifting-rating",
            Severity.CAUTION,
            group.asked or "/plate",
            f"{mass:.1f} kg hang from {eye_bolts}, whose eye bolts {rated}. Use other lifting gear, and {CAUTION}",
            _source(group, shop),
        )
    elif mass > shop.limits.one_person_lift:
        yield Finding(
            "lifted-by",
            Severity.NOTE,
            group.asked or "/plate",
            f"{mass:.1f} kg, above the {shop.limits.one_person_lift:.0f} kg that one person may lift, hang from "
            f"{eye_bolts}, whose eye bolts are rated for {decimal_text(bears, 0)} kg with {how}; {CAUTION}",
            _source(group, shop),
        )


def _source(group: HoleGroup, shop: ShopData) -> str:
    screw = shop.screws.get(group.hole.thread.designation) if group.hole.thread else None
    return screw.eye_bolt.source if screw and screw.eye_bolt else f"screws of shop data {shop.id}"
