"""What the OpenAPI document says of limits: how any call may be refused, and when it may be made again."""

from typing import Final

from tallyplate.http.openapi_shared import Document
from tallyplate.http.problems import STATUS
from tallyplate.http.refusing import EXEMPT

ANY: Final = ("slow-request", "head-too-large")
"""How every call may be refused."""

LOADED: Final = ("too-many-requests", "overloaded")
"""How those may be refused that are not exempt from limits on load; they may be made again, later."""

RETRY_AFTER: Final[Document] = {
    "Retry-After": {
        "description": "Seconds after which the same call may be made again (RFC 9110, section 10.2.3).",
        "schema": {"type": "integer", "minimum": 1},
    }
}


def limit(document: Document) -> None:
    """Say of each call how limits refuse it. A status stands for all its reasons; the problem's type tells which."""
    for route, operations in document["paths"].items():
        for operation in operations.values():
            for code in ANY if route in EXEMPT else (*ANY, *LOADED):
                refusal = {"$ref": f"#/components/responses/{code}"}
                operation["responses"].setdefault(str(int(STATUS[code])), refusal)
    for code in LOADED:
        document["components"]["responses"][code]["headers"] = RETRY_AFTER
