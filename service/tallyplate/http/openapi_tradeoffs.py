"""What the OpenAPI document says of effects, comparisons and findings."""

from collections.abc import Callable, Sequence
from typing import Any, Final

from msgspec import Struct

from tallyplate.http import comparisons
from tallyplate.http.effects import SVG
from tallyplate.http.findings import FindingsAnswer
from tallyplate.http.openapi_shared import REFUSED_PINNED, Document, exemplify
from tallyplate.tradeoffs.curves import CURVES, MOST_POINTS
from tallyplate.tradeoffs.effects import MOST_EFFECTS, MOST_PRICES, EffectsAnswer

Post = Callable[..., Document]
"""Describes one call: its name, what is said of it, the schemas of its request and answer, its refusals."""

EFFECTS: Final = (
    "What each choice in a request is worth",
    (
        "Prices the neighbours of every answer, one at a time: each effect names its changes, which applied to the "
        "request have that very price. With them come curves against quantity, pitch and thickness, and one of them "
        f"alone as a chart where SVG is accepted. At most {MOST_EFFECTS} neighbours and {MOST_POINTS} points a curve "
        f"are tried, and at most {MOST_PRICES} prices are made."
    ),
)
COMPARED: Final = (
    "The difference between two prices",
    (
        "Prices two requests, which may differ in plate, quantity, date or pinned versions, and says what differs in "
        "both requests and prices; the lines sum exactly to the difference of the totals. Inside by cost line and "
        "module, outside by kind of work in selling amounts."
    ),
)
FOUND: Final = (
    "The findings of a request",
    (
        "What the checks say, as the price of the request says it, and no amounts. A plate is also checked on a day "
        "before the first rate card; what only a price could answer is then named as unchecked."
    ),
)

EXAMPLE: Final[Document] = {
    "plate": {"family": "rectangular", "length": "24 in", "width": "16 in", "material": "steel-1018"},
    "quantity": 3,
    "as_of": "2026-03-02",
}
FINISHED: Final[Document] = {**EXAMPLE, "plate": {**EXAMPLE["plate"], "finish": "black-oxide"}}

CURVE: Final[Document] = {
    "name": "curve",
    "in": "query",
    "required": False,
    "description": "The curve that an answer in SVG shows; the first of these where it is not said.",
    "schema": {"type": "string", "enum": list(CURVES)},
}


def kinds(price_request: type[Struct]) -> list[Any]:
    """The types whose schemas `paths` takes, in their order."""
    answers = (EffectsAnswer, comparisons.ComparisonAnswer, comparisons.SellingComparisonAnswer, FindingsAnswer)
    return [comparisons.request_type(price_request), *answers]


def paths(price_request: Document, schemas: Sequence[Document], post: Post) -> Document:
    """The three calls."""
    pair, worth, inside, outside, found = schemas
    effects = post("effects", EFFECTS, price_request, worth, *REFUSED_PINNED, "not-acceptable")
    effects["parameters"] = [CURVE]
    effects["responses"]["200"]["content"][SVG] = {"schema": {"type": "string"}}
    compared = post("comparison", COMPARED, pair, {"anyOf": [inside, outside]}, *REFUSED_PINNED)
    findings = post("findings", FOUND, price_request, found, *REFUSED_PINNED)
    exemplify(effects, "A plate in inches", EXAMPLE)
    exemplify(compared, "What a finish adds", {"a": EXAMPLE, "b": FINISHED})
    exemplify(findings, "A plate in inches", EXAMPLE)
    return {
        "/v1/effects": {"post": effects},
        "/v1/comparisons": {"post": compared},
        "/v1/findings": {"post": findings},
    }
