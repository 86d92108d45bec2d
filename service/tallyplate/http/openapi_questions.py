"""What the OpenAPI document says of open questions."""

from collections.abc import Callable, Sequence
from typing import Any, Final, get_type_hints

import msgspec
from msgspec import UNSET

from tallyplate.http.openapi_shared import REFUSED_PINNED, Document
from tallyplate.inquiry import Envelope
from tallyplate.tradeoffs.questions.answer import QuestionsAnswer

ASKED: Final = (
    "What is still open",
    (
        "Takes any part of a request, even an empty object, and says what is open: each question in words to read out, "
        "with its choices or its range, the usual answer, why it matters, and the lowest and highest total over its "
        "answers with everything else given or as usual. The first question is the one to ask first: one without "
        "whose answer there is no price, then those that can make the plate impossible, then by the money that they "
        "decide. With them comes the total over all completions as a range, which no further answer widens."
    ),
)


def kinds() -> list[Any]:
    """The types whose schemas `paths` takes, in their order."""
    hints = get_type_hints(Envelope, include_extras=True)
    fields: list[Any] = [(name, kind, UNSET) for name, kind in hints.items() if name != "plate"]
    plate: Any = (dict[str, Any] | msgspec.UnsetType, UNSET)
    said = {"__doc__": "Any part of a price request; the plate as far as it is known, in the fields of its family."}
    request = msgspec.defstruct(
        "QuestionsRequest", [("plate", *plate), *fields], namespace=said, forbid_unknown_fields=True, kw_only=True
    )
    return [request, QuestionsAnswer]


def paths(schemas: Sequence[Document], post: Callable[..., Document]) -> Document:
    """The call."""
    request, answer = schemas
    operation = post("questions", ASKED, request, answer, *REFUSED_PINNED)
    examples = {
        "nothing": {"summary": "Nothing is known yet", "value": {}},
        "usual": {
            "summary": "A material and one size are known",
            "value": {
                "plate": {"family": "rectangular", "length": "24 in", "material": "steel-1018"},
                "as_of": "2026-03-02",
            },
        },
    }
    operation["requestBody"]["content"]["application/json"]["examples"] = examples
    return {"/v1/questions": {"post": operation}}
