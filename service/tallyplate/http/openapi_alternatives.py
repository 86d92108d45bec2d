"""What the OpenAPI document says of alternatives."""

from collections.abc import Callable, Sequence
from typing import Annotated, Any, Final

import msgspec
from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.http.alternatives import MAY_CHANGE
from tallyplate.http.openapi_shared import REFUSED_PINNED, Document, exemplify
from tallyplate.inquiry import MoneyText
from tallyplate.tradeoffs.alternatives.front import MOST_PRICED
from tallyplate.tradeoffs.alternatives.told import AlternativesAnswer
from tallyplate.tradeoffs.alternatives.variables import MOST_COMBINATIONS, USUAL, MayChange

FITTED: Final = (
    "The plates that fit a budget",
    (
        "The exact Pareto front over price, number of clamping positions, position tolerance and stiffness: every "
        "plate within the budget that no other is as good as for as little money. Each names its changes, which "
        "applied to the request have that very price, and says in one sentence what is given up and what is saved. "
        "Where nothing fits, the cheapest plate and what drives its price. What may change is usually "
        f"{', '.join(USUAL)}. At most {MOST_COMBINATIONS} combinations are examined, and at most {MOST_PRICED} of them "
        "priced one by one; a request for more is refused with their number."
    ),
)
EXAMPLE: Final[Document] = {
    "plate": {
        "family": "rectangular",
        "length": "24 in",
        "width": "16 in",
        "thickness": "1.9 in",
        "material": "al-6061-t6",
        "pattern": {"pitch": "1.5 in"},
    },
    "quantity": 3,
    "budget": "4500.00 USD",
    "as_of": "2026-03-02",
    MAY_CHANGE: ["/plate/thickness", {"pointer": "/plate/pattern/pitch", "values": ["2 in", "2.5 in"]}],
}


def kinds(price_request: type[Struct]) -> list[Any]:
    """The types whose schemas `paths` takes, in their order."""
    budget = Annotated[MoneyText, Meta(title="Budget", description="For the order, with its currency.")]
    request = msgspec.defstruct(
        "AlternativesRequest",
        [("budget", budget), (MAY_CHANGE, MayChange | UnsetType, UNSET)],
        bases=(price_request,),
        namespace={"__doc__": "A price request with a budget, and the fields of the plate that may change to meet it."},
        kw_only=True,
        forbid_unknown_fields=True,
    )
    return [request, AlternativesAnswer]


def paths(schemas: Sequence[Document], post: Callable[..., Document]) -> Document:
    """The call."""
    request, answer = schemas
    operation = post("alternatives", FITTED, request, answer, *REFUSED_PINNED)
    exemplify(operation, "A plate whose pitch and thickness may change", EXAMPLE)
    return {"/v1/alternatives": {"post": operation}}
