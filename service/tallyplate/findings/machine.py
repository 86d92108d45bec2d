"""The machine that makes the plate: its travels and what its table bears."""

from collections.abc import Iterator

from tallyplate.findings.finding import Case, Finding, Severity
from tallyplate.units import decimal_text


def check(case: Case) -> Iterator[Finding]:
    """A face beyond the travels, whichever way it is turned, or a blank too heavy for the table."""
    machine, body = case.shop.machine, case.build.body
    travel = max(machine.travel_x, machine.travel_y), min(machine.travel_x, machine.travel_y)
    for length, width in dict.fromkeys(body.milled):
        long, short = max(length, width), min(length, width)
        if long <= travel[0] and short <= travel[1]:
            continue
        upright = (length, width) != (body.length, body.width)
        yield Finding(
            "beyond-travel",
            Severity.ERROR,
            f"/plate/{body.named[2 if upright else body.length < body.width]}",
            f"{decimal_text(long, 1)} x {decimal_text(short, 1)} mm; the machine travels "
            f"{decimal_text(travel[0], 1)} x {decimal_text(travel[1], 1)} mm",
            f"machine of shop data {case.shop.id}",
        )
    blanks = (case.build.blank, *case.build.other_blanks)
    mass = max(blank.volume for blank in blanks) * case.shop.materials[body.material].density
    if mass > machine.load:
        yield Finding(
            "beyond-load",
            Severity.ERROR,
            f"/plate/{body.named[2]}",
            f"the blank weighs up to {decimal_text(mass, 1)} kg; the machine's table bears {machine.load:.0f} kg",
            f"machine of shop data {case.shop.id}",
        )
