"""What the OpenAPI document says of quotes."""

from collections.abc import Callable, Sequence
from typing import Any, Final

from msgspec import Struct

from tallyplate.http import openapi_sets, quotes
from tallyplate.http.openapi_documents import HEADERS, TAGGED
from tallyplate.http.openapi_shared import REFUSED, REFUSED_PINNED, Document, exemplify
from tallyplate.http.openapi_tradeoffs import EXAMPLE
from tallyplate.http.quote_documents import SUFFIXES
from tallyplate.quoting import KEY

Post = Callable[..., Document]
"""Describes one call: its name, what is said of it, the schemas of its request and answer, its refusals."""

QUOTED: Final = (
    "A signed quote",
    (
        "Prices a plate, or the `plates` of a set, and puts parties, terms and validity of the rate card to it. The "
        "token is a JSON Web Signature (RFC 7515, Ed25519) of the quote, and all that needs to be kept: nothing is "
        "stored here, and the same quote made twice is the same token. Anyone verifies it with the public key set at "
        f"{quotes.KEY_SET}. "
        "By Accept it also comes as a page, as PDF with the token attached, as UBL 2.1 Quotation XML with the token "
        "embedded, or as flat CSV lines. "
        "Freight and tax are stated by the caller and shown apart. A plate that cannot be made is refused. The dates "
        "and an account ask for the scope `cost`, an override for `override`. "
        f"{TAGGED}"
    ),
)
VERIFIED: Final = (
    "Whether a quote is genuine and still valid",
    (
        "An expired quote is genuine and no longer valid. Where it is genuine, the answer says what the same plate "
        "costs the same customer today, line by line."
    ),
)

PARTICULARS: Final[Document] = {
    "customer": {"name": "Brackwater Valve", "address": ["14 Mill Race", "Toledo, OH 43604"], "country": "US"},
    "reference": "RFQ 2026-118",
    "quantities": [1, 5, 10],
}


def kinds(price_request: type[Struct]) -> list[Any]:
    """The types whose schemas `paths` takes, in their order."""
    request = quotes.request_type(price_request)
    of_set = quotes.request_type(openapi_sets.request_type(price_request), "SetQuoteRequest", "A set")
    return [request, of_set, quotes.QuoteAnswer, quotes.VerificationRequest, quotes.VerificationAnswer]


def paths(schemas: Sequence[Document], post: Post) -> Document:
    """The two calls."""
    asked, of_set, answer, token, verdict = schemas
    refusals = (*REFUSED_PINNED, "not-acceptable", "precondition-failed", "no-quote-keys")
    quoted = post("quote", QUOTED, {"anyOf": [asked, of_set]}, answer, *refusals)
    verified = post("quote-verification", VERIFIED, token, verdict, *REFUSED, "no-quote-keys")
    content = quoted["responses"]["200"]["content"]
    content |= {kind: {"schema": {"type": "string"}} for kind in SUFFIXES}
    quoted["responses"]["200"]["headers"] = HEADERS
    # The date is the house's to say, so that an example that anyone may send has none.
    plate = {name: value for name, value in EXAMPLE.items() if name != "as_of"}
    exemplify(quoted, "A plate in inches", {**plate, KEY: PARTICULARS})
    return {"/v1/quotes": {"post": quoted}, "/v1/quotes/verification": {"post": verified}}
