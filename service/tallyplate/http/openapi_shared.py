"""What the parts of the OpenAPI document share: its type, the refusals of calls that take a plate, and examples."""

from typing import Any, Final

Document = dict[str, Any]

REFUSED: Final = ("malformed-json", "too-large", "not-json", "invalid-request", "plugin-failure")
"""How a call that takes a plate may be refused."""

REFUSED_PINNED: Final = (*REFUSED, "version-unavailable")
"""How one may be refused whose request may name the versions that it wants."""


def exemplify(operation: Document, summary: str, value: Document) -> None:
    """Put the usual example into the description of a call."""
    example = {"summary": summary, "value": value}
    operation["requestBody"]["content"]["application/json"]["examples"] = {"usual": example}
