"""What changed from one rate card to another: `GET /v1/rate-cards/changes`."""

from collections.abc import Sequence
from typing import Any, Final

from litestar import Request, Response, get
from litestar.types import ControllerRouterHandler
from msgspec import Struct
from msgspec.json import encode

from tallyplate.contract import Fault, Refusal
from tallyplate.http import conditional
from tallyplate.http.catalogue import RateCardOffer, rate_card
from tallyplate.http.openapi_shared import Document
from tallyplate.installation import Installation
from tallyplate.rates.card import RateCard
from tallyplate.rates.changed import FigureChanged, changed
from tallyplate.reload import Current

CHANGES: Final = "Figures that changed from one rate card to another"


class CardChanges(Struct, frozen=True):
    """Two cards, and what the second says otherwise; the first is null where no card was before it."""

    a: RateCardOffer | None
    b: RateCardOffer
    changes: tuple[FigureChanged, ...]


PARAMETERS: Final[list[Document]] = [
    {
        "name": name,
        "in": "query",
        "required": False,
        "description": f"Id of {card}.",
        "schema": {"type": "string", "maxLength": 100},
    }
    for name, card in (("a", "the earlier card; usually the one before b"), ("b", "the later card; usually today's"))
]


def handlers(current: Current) -> Sequence[ControllerRouterHandler]:
    """The call."""

    @get("/v1/rate-cards/changes", sync_to_thread=False)
    def card_changes(request: Request[Any, Any, Any]) -> Response[bytes]:
        """What changed."""
        asked = {name: request.query_params.getall(name, []) for name in ("a", "b")}
        answer = encode(_changes(current.installation, asked))
        return conditional.revalidated(request, Response(answer, media_type="application/json"))

    return [card_changes]


def _changes(installation: Installation, asked: dict[str, list[str]]) -> CardChanges:
    cards = installation.cards
    here = ", ".join(card.id for card in cards)
    faults = [
        Fault("", f"the query parameter {name} is {' and '.join(ids)[:80]!r}; accepted: one of {here}")
        for name, ids in asked.items()
        if len(ids) > 1 or (ids and not _named(cards, ids))
    ]
    if faults:
        raise Refusal(*faults)
    later = _named(cards, asked["b"]) or installation.in_force(installation.today())[0]
    earlier = _named(cards, asked["a"]) or (cards[cards.index(later) - 1] if later is not cards[0] else None)
    if earlier is None:
        return CardChanges(None, rate_card(later), ())
    return CardChanges(rate_card(earlier), rate_card(later), tuple(changed(earlier, later, installation.modules)))


def _named(cards: Sequence[RateCard], ids: list[str]) -> RateCard | None:
    return next((card for card in cards if card.id in ids), None)
