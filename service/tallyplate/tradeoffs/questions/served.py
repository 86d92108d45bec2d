"""What a customer easily forgets to ask for beside the plates, each service that the shop offers as a question."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from msgspec import Struct
from msgspec.structs import replace

from tallyplate import money
from tallyplate.answers import PriceAnswer
from tallyplate.contract import Refusal, Services
from tallyplate.tradeoffs.choices import Value
from tallyplate.tradeoffs.impact import Pricing
from tallyplate.tradeoffs.questions.words import ASKED, SAID

LEVELS: Final[Mapping[str, tuple[str | bool, ...]]] = {
    "material_certificate": ("none", "2.1", "2.2", "3.1"),
    "inspection_report": ("none", "summary", "every_hole"),
    "packing": ("standard", "export"),
    "rush": (False, True),
}
"""What each service may be, from what it is where nobody asks for it to what costs most."""


class Served(Struct, frozen=True):
    """An open service: its pointer, its answers in words, and what the order comes to with each, in minor units."""

    name: str
    said: dict[Value, str]
    totals: dict[Value, int]

    @property
    def pointer(self) -> str:
        """Where the answer stands in a request."""
        return f"/services/{self.name}"

    @property
    def asked(self) -> tuple[str, str]:
        """The question, and why it matters."""
        return ASKED[f"services/{self.name}"]


def served(request: Mapping[str, Any], price: Pricing, digits: int) -> tuple[Served, ...]:
    """The services that a request leaves open and the shop offers; `request` can be priced without them."""
    return tuple(_open(request, price, digits))


def _open(request: Mapping[str, Any], price: Pricing, digits: int) -> Iterator[Served]:
    given = request.get("services", {})
    for name, levels in LEVELS.items():
        if name in given:
            continue
        try:
            prices = {level: price({**request, "services": {**given, name: level}}) for level in levels}
        except Refusal:
            continue  # not on offer
        yield Served(
            name,
            {level: _said(name, level, one) for level, one in prices.items()},
            {level: money.count(one.total, digits) for level, one in prices.items()},
        )


def _said(name: str, level: str | bool, price: PriceAnswer) -> str:
    said = SAID[f"{name}/{level}"]
    return f"{said}, ready on {price.lead_time.ready_on.isoformat()}" if name == "rush" else said


def at_most(given: Services, open_ones: tuple[Served, ...]) -> Services:
    """The services of an order that answers every open one with what costs most."""
    return replace(given, **{one.name: LEVELS[one.name][-1] for one in open_ones})
