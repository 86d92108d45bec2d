"""What a caller gets: the price as JSON, every figure as decimal text."""

from datetime import date

from msgspec import UNSET, Struct, UnsetType

from tallyplate import money
from tallyplate.contract import Assumption, Build, Line, ShopData
from tallyplate.findings import Finding
from tallyplate.pricing import Priced, unit_price
from tallyplate.rates.card import RateCard
from tallyplate.units import decimal_text


class LineAnswer(Struct, frozen=True, gc=False):
    """One priced item of the whole order: amount = quantity x rate, rounded to the minor unit."""

    module: str
    item: str
    quantity: str
    unit: str
    rate: str
    amount: str
    basis: str
    work_center: str | UnsetType = UNSET


class Mass(Struct, frozen=True, gc=False):
    """Mass of the solid plate, holes not taken out.

    `milled` is that of one plate without what is milled out of it, where pockets, slots or cut-outs are; holes are not
    taken out there either, and what is lifted and packed goes by the solid.
    """

    each: str
    total: str
    unit: str
    milled: str | UnsetType = UNSET


def weighed(build: Build, shop: ShopData, quantity: int) -> Mass:
    """The mass of plates as callers read it, in kg."""
    solid, out = shop.mass(build.body), sum([one.volume for one in build.milled])
    left = max(0.0, solid - out * shop.materials[build.body.material].density)
    said = [decimal_text(mass, 3) for mass in (solid, quantity * solid, left)]
    return Mass(said[0], said[1], "kg", said[2] if out else UNSET)


class LeadTime(Struct, frozen=True, gc=False):
    """Working days, Monday to Friday, from the order's date to dispatch."""

    working_days: int
    ready_on: date


class Version(Struct, frozen=True, gc=False):
    """Which rate card or shop data were used."""

    id: str
    digest: str


class Versions(Struct, frozen=True, gc=False):
    """Which software made the answer: ours, the plugin contract, and each plugin's distribution."""

    tallyplate: str
    contract: int
    plugins: dict[str, str]


class PriceAnswer(Struct, frozen=True, gc=False):
    """A price: the total binds, and is the sum of the lines' amounts."""

    currency: str
    quantity: int
    unit_price: str
    total: str
    lines: list[LineAnswer]
    findings: tuple[Finding, ...]
    assumed: tuple[Assumption, ...]
    mass: Mass
    hours: dict[str, str]
    lead_time: LeadTime
    as_of: date
    rate_card: Version
    shop_data: Version
    versions: Versions


def line_answer(line: Line, minor_digits: int) -> LineAnswer:
    """A line as text."""
    of = line.of
    return LineAnswer(
        of.module,
        of.item,
        money.text(line.quantity, of.decimals),
        of.unit,
        of.rate.text,
        money.text(line.amount, minor_digits),
        of.basis,
        of.work_center or UNSET,
    )


def price_answer(  # noqa: PLR0913 - the facts that an answer states
    priced: Priced,
    *,
    quantity: int,
    findings: tuple[Finding, ...],
    assumed: tuple[Assumption, ...],
    as_of: date,
    worked: dict[str, int],
    lead_time: LeadTime,
    card: RateCard,
    shop: ShopData,
    versions: Versions,
) -> PriceAnswer:
    """Everything that is said about a price."""
    digits = card.minor_digits
    return PriceAnswer(
        currency=card.currency,
        quantity=quantity,
        unit_price=money.text(unit_price(priced.total, quantity), digits),
        total=money.text(priced.total, digits),
        lines=[line_answer(line, digits) for line in priced.lines],
        findings=findings,
        assumed=assumed,
        mass=weighed(priced.build, shop, quantity),
        hours={center: money.text(counted, 4) for center, counted in worked.items()},
        lead_time=lead_time,
        as_of=as_of,
        rate_card=Version(card.id, card.digest),
        shop_data=Version(shop.id, shop.digest),
        versions=versions,
    )
