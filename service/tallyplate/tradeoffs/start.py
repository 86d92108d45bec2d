"""Where changes start from: a request with its price; and what a changed request comes to."""

from collections.abc import Mapping
from typing import Any

from msgspec import UNSET, Struct, UnsetType

from tallyplate.answers import PriceAnswer
from tallyplate.contract import Fault, PlateSpec, Refusal, ShopData
from tallyplate.findings import Finding, Severity
from tallyplate.pointers import applied
from tallyplate.tradeoffs.changes import Changes
from tallyplate.tradeoffs.choices import Choice, choices
from tallyplate.tradeoffs.impact import Pricing


class Start(Struct, frozen=True):
    """A request with its price, and what its choices are found and priced by.

    `shop` is the shop data of that price, and `price` prices on the same date and under the same versions.
    """

    request: Mapping[str, Any]
    base: PriceAnswer
    price: Pricing
    spec: type[PlateSpec]
    shop: ShopData

    @property
    def plate(self) -> Mapping[str, Any]:
        """The plate as it was asked for."""
        plate: Mapping[str, Any] = self.request["plate"]
        return plate

    def choices(self) -> list[Choice]:
        """The choices of the request."""
        return list(choices(self.request, self.base, self.spec))

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
