"""Which call follows from which answer, as links of the OpenAPI document: for clients, and for tests that walk them."""

from typing import Final

from tallyplate.http.openapi_shared import Document

SAME_REQUEST: Final = "$request.body"

LINKS: Final[dict[tuple[str, str], dict[str, Document]]] = {
    ("/v1/prices", "price"): {
        "findings": {
            "operationId": "findings",
            "requestBody": SAME_REQUEST,
            "description": "Whether the plate that was priced can be made, as the same request.",
        },
        "drawing": {
            "operationId": "drawing",
            "requestBody": SAME_REQUEST,
            "description": "The drawing of the plate that was priced, as the same request.",
        },
    },
    ("/v1/quotes", "quote"): {
        "verification": {
            "operationId": "quote-verification",
            "requestBody": {"token": "$response.body#/token"},
            "description": "The token of a quote says whether it is genuine and what the plate costs today.",
        },
    },
}
"""By path and the operation there."""


def link(document: Document) -> None:
    """Put the links to the answers that they start from."""
    for (path, name), links in LINKS.items():
        (operation,) = (one for one in document["paths"][path].values() if one["operationId"] == name)
        operation["responses"]["200"]["links"] = links
