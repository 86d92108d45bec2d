"""Proposals about the table: its slots, what holds the plate on it, and what locates it."""

from collections.abc import Iterator

from tallyplate.findings.finding import Case, Finding
from tallyplate.findings.holding import HOLDING, SIDES, beyond
from tallyplate.findings.mends.proposal import AtLeast, AtMost, Proposal, one
from tallyplate.findings.slots import standard


def for_slot(case: Case, finding: Finding) -> Iterator[Proposal]:
    """The nearest standard slot, with the screw that goes with it."""
    width = case.build.table.slot_width
    slot = min(case.shop.t_slots, key=lambda slot: abs(slot.width - width), default=None)
    if slot is not None:
        words = f"if the slot measures {slot.width.text}, say so"
        yield one(words, finding.pointer, slot.width.text)
        screw = ("/plate/mounting/screw", slot.screw)
        yield Proposal(f"{words}, and take {slot.screw} screws", ((finding.pointer, slot.width.text), screw))


def for_slot_screw(case: Case, finding: Finding) -> Iterator[Proposal]:
    """The screw that the standard gives the slot; or the slot that it gives the screw."""
    slot = standard(case.build.table.slot_width, case.shop)
    if slot is not None:
        yield one("take {0} holding screws", finding.pointer, slot.screw)
    for other in case.shop.t_slots:
        if other.screw == case.build.table.screw:
            yield one("if the slot measures {0}, say so", "/plate/mounting/slot_width", other.width.text)


def for_spacing(case: Case, finding: Finding) -> Iterator[Proposal]:
    """The nearest standard spacings."""
    slot = standard(case.build.table.slot_width, case.shop)
    spacings = sorted(slot.spacings if slot else (), key=lambda spacing: abs(spacing - case.build.table.spacing))
    for spacing in spacings:
        yield one("if the slots lie {0} apart, say so", finding.pointer, spacing.text)


def for_locating(_: Case, finding: Finding) -> Iterator[Proposal]:
    """Fixed pins, of which the second is relieved."""
    yield one("locate it by a round and a relieved pin", finding.pointer, "pins")


def for_single_screw(case: Case, finding: Finding) -> Iterator[Proposal]:
    """A plate so large that two screws find a slot or hole of the table; or more holes on a bolt circle."""
    body, spacing = case.build.body, case.build.table.spacing
    yield one("put {0} holes on the bolt circle", f"{finding.pointer}/count", 2)
    for side in SIDES:
        name, size = body.named[side], (body.length, body.width)[side]
        yield one(f"make the {name.replace('_', ' ')} {{0}}", f"/plate/{name}", AtLeast(size + spacing))


def for_overhang(case: Case, finding: Finding) -> Iterator[Proposal]:
    """A narrower plate, a thicker one, or one so much larger that the next slots or holes of the table hold it."""
    body, most = case.build.body, case.shop.limits.overhang or 0.0
    for side in SIDES:
        reach = min(beyond(group, body, side) for group in case.build.holes if group.kind == HOLDING)
        if body.faces:
            yield one("make the base {0} thick", f"{finding.pointer}/thickness", AtLeast(reach / most))
        if finding.pointer != f"/plate/{body.named[side]}":
            continue
        size, name = (body.length, body.width)[side], body.named[side].replace("_", " ")
        yield one(f"make the {name} {{0}}", finding.pointer, AtMost(size - 2 * (reach - most * body.edge)))
        yield one(f"make the {body.named[2]} {{0}}", f"/plate/{body.named[2]}", AtLeast(reach / most))
        yield one(f"make the {name} {{0}}", finding.pointer, AtLeast(size + case.build.table.spacing))
