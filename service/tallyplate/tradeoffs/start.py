"""Where changes start from: a request with its price; and what a changed request comes to."""

from collections.abc import Mapping
from typing import Any, Final

import msgspec
from msgspec import UNSET, Struct, UnsetType

from tallyplate.answers import PriceAnswer
from tallyplate.checking import built
from tallyplate.contract import Family, Fault, PlateSpec, Refusal, ShopData, Usual
from tallyplate.decoding import length_hook
from tallyplate.findings import Finding, Severity
from tallyplate.findings.mends import settled
from tallyplate.pointers import applied
from tallyplate.tradeoffs import steps
from tallyplate.tradeoffs.changes import Changes
from tallyplate.tradeoffs.choices import Choice, choices
from tallyplate.tradeoffs.impact import Pricing

OWN: Final = 2
"""Steps to a plate's own field, beside those of its pattern or mounting."""


class Start(Struct, frozen=True):
    """A request with its price, and what its choices are found and priced by.

    `shop` is the shop data of that price, and `price` prices on the same date and under the same versions. `family`
    tells whether its plates exist already, and so what is no choice.
    """

    request: Mapping[str, Any]
    base: PriceAnswer
    price: Pricing
    family: Family
    shop: ShopData

    @property
    def plate(self) -> Mapping[str, Any]:
        """The plate as it was asked for."""
        plate: Mapping[str, Any] = self.request["plate"]
        return plate

    def choices(self) -> list[Choice]:
        """The choices of the request: not what its plate is, where that exists."""
        as_it_is = self._as_it_is()
        return [one for one in choices(self.request, self.base, self.spec) if one.pointer not in as_it_is]

    @property
    def spec(self) -> type[PlateSpec]:
        """The type that the plate is read as."""
        return self.family.spec

    @property
    def in_inches(self) -> bool:
        """Whether most of the plate's own lengths that the caller gave are in inches or feet."""
        own = (one for one in choices(self.request, self.base, self.spec) if one.pointer.count("/") == OWN)
        given = [steps.manner(one.length).system for one in own if one.given and one.length]
        return 2 * given.count("inch") > len(given)

    def _as_it_is(self) -> frozenset[str]:
        if not self.family.existing:
            return frozenset()
        spec = msgspec.convert(self.plate, self.spec, dec_hook=length_hook)
        return settled(built(self.family, self.plate["family"], spec, self.shop, Usual()))

    def changed(self, changes: Changes) -> PriceAnswer | Refusal:
        """The price with changes made, or why there is none."""
        return attempt(applied(self.request, changes), self.price)


class Outcome(Struct, frozen=True, kw_only=True):
    """What a changed request comes to. `errors` are the findings that say why it cannot be made.

    One that cannot be priced has no total; `refused` says why.
    """

    can_be_made: bool
    total: str | UnsetType = UNSET
    unit_price: str | UnsetType = UNSET
    errors: tuple[Finding, ...] = ()
    refused: tuple[Fault, ...] = ()


def attempt(request: object, price: Pricing) -> PriceAnswer | Refusal:
    """The price of a request, or why it has none."""
    try:
        return price(request)
    except Refusal as refusal:
        return refusal


def errors(price: PriceAnswer) -> tuple[Finding, ...]:
    """The findings of a price that say why it cannot be made."""
    return tuple(finding for finding in price.findings if finding.severity is Severity.ERROR)


def fields(price: PriceAnswer | Refusal) -> dict[str, Any]:
    """The fields of an `Outcome`, of a price or of why there is none."""
    if isinstance(price, Refusal):
        return {"can_be_made": False, "refused": price.faults}
    wrong = errors(price)
    return {"can_be_made": not wrong, "total": price.total, "unit_price": price.unit_price, "errors": wrong}
