"""The table's slots: whether the holding screw is the one that the standard gives them."""

from collections.abc import Iterator

from tallyplate.findings.finding import Case, Finding, Severity
from tallyplate.units import decimal_text


def check(case: Case) -> Iterator[Finding]:
    """A holding screw that the standard does not give the slot, or a slot that the standard does not know."""
    table, shop = case.build.table, case.shop
    if not table.slot_width:
        return
    fits = shop.slot_screw(table.slot_width)
    width = decimal_text(table.slot_width, 3)
    if fits is None:
        known = ", ".join(slot.width.text for slot in shop.t_slots)
        yield Finding(
            "unknown-slot",
            Severity.CAUTION,
            "/plate/mounting/slot_width",
            f"a slot of {width} mm is not standard; standard slots: {known}",
            "ISO 299 and ASME B5.1M T-slot widths, as cited in the shop data",
        )
    elif fits != table.screw:
        yield Finding(
            "slot-screw",
            Severity.ERROR,
            "/plate/mounting/screw",
            f"{table.screw} holding screws do not go with a slot of {width} mm, to which the standard gives {fits}",
            "ISO 299 and ASME B5.1M T-slot widths, as cited in the shop data",
        )
