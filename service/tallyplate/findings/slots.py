"""The table's slots: whether screw and T-nut are those that the standard gives them, and whether it spaces them so."""

from collections.abc import Iterator

from tallyplate.contract import ShopData
from tallyplate.contract.sections import TSlot
from tallyplate.contract.shop import SLOT_SLACK
from tallyplate.findings.finding import Case, Finding, Severity
from tallyplate.lattice import GUARD
from tallyplate.units import decimal_text

SOURCE = "ISO 299 and ASME B5.1M T-slot widths, as cited in the shop data"


def standard(width: float, shop: ShopData) -> TSlot | None:
    """The standard slot of a width, by its name rather than to the micrometre."""
    return next((slot for slot in shop.t_slots if abs(slot.width - width) <= SLOT_SLACK + GUARD), None)


def check(case: Case) -> Iterator[Finding]:
    """A screw that the standard does not give the slot, or a slot or a spacing that the standard does not know."""
    table, shop = case.build.table, case.shop
    if not table.slot_width:
        return
    slot = standard(table.slot_width, shop)
    width = decimal_text(table.slot_width, 3)
    if slot is None:
        known = ", ".join(slot.width.text for slot in shop.t_slots)
        yield Finding(
            "unknown-slot",
            Severity.CAUTION,
            "/plate/mounting/slot_width",
            f"a slot of {width} mm is not standard; standard slots: {known}",
            SOURCE,
        )
        return
    if slot.screw != table.screw:
        yield Finding(
            "slot-screw",
            Severity.ERROR,
            "/plate/mounting/screw",
            f"{table.screw} holding screws do not go with a slot of {width} mm, to which the standard gives "
            f"{slot.screw}",
            SOURCE,
        )
    if slot.spacings and all(abs(spacing - table.spacing) > SLOT_SLACK + GUARD for spacing in slot.spacings):
        yield Finding(
            "unknown-spacing",
            Severity.CAUTION,
            "/plate/mounting/slot_spacing",
            f"slots of {width} mm, {decimal_text(table.spacing, 3)} mm apart; standard spacings: "
            f"{', '.join(spacing.text for spacing in slot.spacings)}. Measure the table",
            SOURCE,
        )
