"""What the OpenAPI document says of access: the scope that each call and each field asks for."""

from typing import Final

from tallyplate.access.scopes import Scope
from tallyplate.http.guard import OPEN, SCOPES
from tallyplate.http.openapi_shared import Document

FIELDS: Final[dict[str, Scope]] = {
    "PriceAnswer": Scope.COST,
    "SetAnswer": Scope.COST,
    "ComparisonAnswer": Scope.COST,
    "ImpactAnswer": Scope.RATES,
    "QuoteAnswer/price": Scope.COST,
    "QuoteAnswer/set_price": Scope.COST,
    "QuoteAnswer/override": Scope.OVERRIDE,
    "Ready/problems": Scope.RATES,
}
"""Answers, and fields of them, that callers without a scope do not get; all else goes to whoever may call."""

SCHEME: Final = "bearer"

SECURITY: Final[Document] = {
    SCHEME: {
        "type": "http",
        "scheme": "bearer",
        "description": (
            "A key that `tallyplate key new` made, or a token (RFC 7519) of an identity provider that the service "
            "was told to trust. Each call names the scope that it asks for. A service without an access file listens "
            "on loopback alone and takes every call."
        ),
    }
}


def secure(document: Document) -> None:
    """Say of each call and field which scope it asks for, and how a call without it is refused."""
    for route, operations in document["paths"].items():
        scope = SCOPES[route]
        for operation in operations.values():
            operation["security"] = [] if scope is OPEN else [{SCHEME: [scope.value]}]
            refusals = {"401": "unauthorized", "421": "misdirected"}
            refusals |= {} if scope is OPEN else {"403": "forbidden"}
            for status, code in refusals.items():
                operation["responses"][status] = {"$ref": f"#/components/responses/{code}"}
    components = document["components"]["schemas"]
    for place, scope in FIELDS.items():
        name, _, field = place.partition("/")
        schema = components[name]
        (schema["properties"][field] if field else schema)["x-scope"] = scope.value
    document["components"]["securitySchemes"] = SECURITY
