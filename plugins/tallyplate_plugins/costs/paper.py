"""Paper: a certificate of the material and a report of what was measured.

A certificate = a fee an order, by the document types of EN 10204, which the mill makes out: 2.1 declares compliance
with the order, 2.2 adds results of non-specific inspection, 3.1 results of specific inspection, validated by an
inspector who is independent of manufacturing (published: contents of the types, wermac.org/din/en10204.html). A report
= a fee an order + time for a sheet a plate; of every hole = that + pattern holes x time to measure and enter each
(common practice, no source).
"""

from collections.abc import Iterable

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Build,
    Charge,
    CostModule,
    Line,
    Order,
    PerOrder,
    Seconds,
    ShopData,
    Stage,
    counted,
    offered,
    refuse,
    work,
)

CERTIFICATE = "/services/material_certificate"
REPORT = "/services/inspection_report"


TYPES = {"declaration": "2.1", "test_report": "2.2", "inspection": "3.1"}


class Certificates(Struct, frozen=True, forbid_unknown_fields=True, rename=TYPES):
    """What an order pays for the mill's document, by its type."""

    declaration: PerOrder
    test_report: PerOrder
    inspection: PerOrder

    def __post_init__(self) -> None:
        """A document that says more may not cost less."""
        if self.declaration > self.test_report or self.test_report > self.inspection:
            message = "certificates may not fall in price from 2.1 over 2.2 to 3.1"
            raise ValueError(message)


class Rates(Struct, frozen=True, forbid_unknown_fields=True):
    """Certificates, and drawing up a report."""

    certificate: Certificates
    report: PerOrder


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to fill in the sheet of a plate, and to measure and enter one hole more."""

    sheet: Seconds
    hole: Seconds


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: Rates | None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Nothing, unless the order asks for paper."""
    asked = order.services
    if asked.material_certificate != "none":
        if build.blank.supplied:
            raise refuse(CERTIFICATE, "the mill's certificate of supplied material is the customer's; accepted: none")
        prices = offered(rates, CERTIFICATE).certificate
        price = next(getattr(prices, name) for name, known in TYPES.items() if known == asked.material_certificate)
        title = f"material certificate {asked.material_certificate} (EN 10204)"
        yield Charge(title, 0, price, basis="the mill's, once an order", per_order=1)
    if asked.inspection_report != "none":
        own = offered(shop.stated(Figures), REPORT)
        fee = offered(rates, REPORT).report
        yield Charge("inspection report", 0, fee, basis="once an order", per_order=1, common=True)
        yield work("filling in the report", own.sheet, "inspection", "a sheet a plate")
        if asked.inspection_report == "every_hole":
            holes = sum(group.count for group in build.holes if not group.mounting)
            yield work("measuring every hole", holes * own.hole, "inspection", f"{counted(holes, 'hole')} a plate")


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=85,
    title="Certificates and reports",
    charges=charges,
    rates=Rates,
    figures=Figures,
    work_centers=("inspection",),
    optional=True,
)
