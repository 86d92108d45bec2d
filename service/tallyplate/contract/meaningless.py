"""Answers of a pattern that have no meaning beside its other answers, or on what it is laid: refused, never dropped."""

from typing import Final

from msgspec import UNSET

from tallyplate.contract.laying import Field
from tallyplate.contract.refusals import Fault, Refusal
from tallyplate.contract.spec import Pattern

OF_EACH: Final[tuple[str, ...]] = ("pitch", "origin", "pitch_across", "rows_left_out", "columns_left_out")
"""What each lattice of a separate arrangement states for itself."""

OWN: Final[tuple[str, ...]] = ("locating", "tapped")
"""The lattices that only a separate arrangement has."""

NOT_SAID: Final = (UNSET, ())


def refuse_meaningless(wanted: Pattern, arrangement: str, field: Field, pointer: str) -> None:
    """Refuse, all at once, what an arrangement or a field has no use for."""
    faults = _of_arrangement(wanted, arrangement) | (_of_disc(wanted, arrangement) if field.disc else {})
    if not field.disc and wanted.laid_from == "table" and field.lines is None:
        faults["laid_from"] = (
            "there are no slots or tapped holes of a machine table under it; accepted: margin, shared, centre, or a "
            "mounting on t_slots or tapped_grid"
        )
    if faults:
        raise Refusal(*(Fault(f"{pointer}/{name}", message) for name, message in faults.items()))


def _of_arrangement(wanted: Pattern, arrangement: str) -> dict[str, str]:
    if arrangement == "separate":
        names, message = OF_EACH, "a separate arrangement states it in each lattice; accepted: locating and tapped"
    else:
        message = "only a separate arrangement has a lattice of its own for each kind; accepted: leave it out"
        names = OWN
    faults = {name: message for name in names if getattr(wanted, name) not in NOT_SAID}
    if wanted.staggered is True and arrangement != "combination":
        faults["staggered"] = "only rows of combination holes are staggered; accepted: false, or that arrangement"
    return faults


def _of_disc(wanted: Pattern, arrangement: str) -> dict[str, str]:
    faults, about = {}, "the lattice of a disc is laid about its centre, alike both ways; accepted: "
    if arrangement == "separate":
        faults["arrangement"] = "two lattices do not share the centre of a disc; accepted: alternating, combination"
    if wanted.laid_from not in {UNSET, "centre"}:
        faults["laid_from"] = f"{about}centre"
    if wanted.pitch_across is not UNSET:
        faults["pitch_across"] = f"{about}leave it out"
    if wanted.staggered is True:
        faults["staggered"] = f"{about}false"
    return faults
