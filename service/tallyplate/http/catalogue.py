"""What is on offer: families with their schemas, materials, and the rate cards and shop data by date."""

from datetime import date
from typing import Any

import msgspec
from msgspec import Struct

from tallyplate.http.forms import PREFIX, component, reachable
from tallyplate.installation import Installation
from tallyplate.rates.card import RateCard


class FamilyOffer(Struct, frozen=True):
    """A plate family, with the JSON Schema of its spec: enough to draw a form from."""

    name: str
    title: str
    schema: dict[str, Any]


class MaterialOffer(Struct, frozen=True):
    """A material; density in kg/m3."""

    name: str
    title: str
    group: str
    bushed: bool
    density: str
    unit: str
    finishes: tuple[str, ...]
    thicknesses: dict[str, tuple[str, ...]]
    """Stock thicknesses by form, as written."""


class RateCardOffer(Struct, frozen=True):
    """A rate card by name and date; its figures are the firm's own."""

    id: str
    effective_from: date
    currency: str
    digest: str


class ShopDataOffer(Struct, frozen=True):
    """Shop data by name and date."""

    id: str
    effective_from: date
    digest: str


def families(installation: Installation, document: dict[str, Any]) -> list[FamilyOffer]:
    """The families, each schema made whole from the OpenAPI document's components."""
    components = document["components"]["schemas"]
    return [
        FamilyOffer(name, family.title, _standalone(component(name, components), components))
        for name, family in sorted(installation.families.items())
    ]


def _standalone(name: str, components: dict[str, Any]) -> dict[str, Any]:
    """A component with the others that it refers to, as `$defs` of its own."""
    found = {one: components[one] for one in sorted(reachable([name], components))}
    text = msgspec.json.encode(found).replace(PREFIX.encode(), b"#/$defs/")
    whole: dict[str, Any] = msgspec.json.decode(text)
    return {**whole.pop(name), "$defs": whole}


def materials(installation: Installation) -> list[MaterialOffer]:
    """The materials of the shop data in force today; raises `Refusal` where none are."""
    _, shop = installation.in_force(installation.today())
    return [
        MaterialOffer(
            name,
            material.title,
            material.group,
            material.bushed,
            f"{material.density * 1e9:.0f}",
            "kg/m3",
            material.finishes,
            {form: tuple(size.text for size in sheet.thicknesses) for form, sheet in material.stock.items()},
        )
        for name, material in sorted(shop.materials.items())
    ]


def rate_cards(installation: Installation) -> list[RateCardOffer]:
    """The rate cards by date."""
    return [rate_card(card) for card in installation.cards]


def rate_card(card: RateCard) -> RateCardOffer:
    """A rate card without its figures."""
    return RateCardOffer(card.id, card.effective_from, card.currency, card.digest)


def shop_data(installation: Installation) -> list[ShopDataOffer]:
    """The shop data by date."""
    return [ShopDataOffer(shop.id, shop.effective_from, shop.digest) for shop in installation.shops]
