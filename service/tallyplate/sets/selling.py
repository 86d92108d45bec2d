"""A set as a quote sells it: one set at one price, a line for each plate with its own figure."""

from msgspec import Struct

from tallyplate import money
from tallyplate.answers import Mass, Version
from tallyplate.contract import Build
from tallyplate.findings import Finding, in_order
from tallyplate.installation import Installation
from tallyplate.outside import SellingAnswer, SellingLine
from tallyplate.pricing import unit_price
from tallyplate.quote.content import QuotePlate
from tallyplate.quote.words import title
from tallyplate.sets.answers import set_mass
from tallyplate.sets.priced import PricedPlate, PricedSet


class SoldSet(Struct, frozen=True):
    """A set in the outside form of one price, its plates in the words of a quote, and what would be made of each."""

    title: str
    price: SellingAnswer
    plates: tuple[QuotePlate, ...]
    builds: tuple[Build, ...]


def sold(priced: PricedSet, installation: Installation) -> SoldSet:
    """The set as one item; each of its lines is a plate's part of the total, and their numbers tell them apart."""
    digits = priced.card.minor_digits
    builds = tuple([priced.price.builds[plate.kind] for plate in priced.plates])
    plates = tuple(
        [
            QuotePlate(
                title=_named(number, plate, title(installation.families[plate.family], build, priced.shop)),
                quantity=plate.quantity,
                unit_price=money.text(unit_price(plate.amount, plate.quantity), digits),
                amount=money.text(plate.amount, digits),
                mass_each=plate.weighed.each,
            )
            for number, (plate, build) in enumerate(zip(priced.plates, builds, strict=True), start=1)
        ]
    )
    mass, total = set_mass(priced), money.text(priced.price.total, digits)
    price = SellingAnswer(
        currency=priced.card.currency,
        quantity=1,
        unit_price=total,
        total=total,
        lines=tuple([SellingLine(one.title, one.quantity, "plate", one.amount) for one in plates]),
        findings=in_order((*priced.findings, *_findings(priced))),
        assumed=tuple([one for plate in priced.plates for one in plate.assumed]),
        mass=Mass(mass.total, mass.total, mass.unit),
        lead_time=priced.lead_time,
        as_of=priced.as_of,
        rate_card=Version(priced.card.id, priced.card.digest),
        shop_data=Version(priced.shop.id, priced.shop.digest),
    )
    return SoldSet(f"Set of {priced.quantity} plates", price, plates, builds)


def _named(number: int, plate: PricedPlate, words: str) -> str:
    return f"{number}. {plate.name}: {words}" if plate.name else f"{number}. {words}"


def _findings(priced: PricedSet) -> list[Finding]:
    """The findings of each plate, which say of which they are, since a quote names no places in a request."""
    return [
        Finding(one.code, one.severity, one.pointer, f"{plate.name or f'plate {number}'}: {one.message}", one.source)
        for number, plate in enumerate(priced.plates, start=1)
        for one in plate.findings
    ]
