"""What the OpenAPI document says of reading notes."""

from collections.abc import Callable, Sequence
from typing import Any, Final

from tallyplate.http.openapi_shared import REFUSED, Document, exemplify
from tallyplate.http.readings import ReadingRequest
from tallyplate.reading.statements import Reading

READ: Final = (
    "Read a request from a note",
    (
        "Takes free text, such as an e-mail or what was noted on the telephone, and fills what it certainly says: "
        "`request` is a part of a price request that /v1/questions accepts. Each answer quotes its words and where "
        "they stand, counted in characters (Unicode code points); where a rule settled what they leave out, such as "
        "a unit, `because` names it. What could mean more than one thing stands in `unclear` with its meanings, and "
        "what no rule read in `not_understood`. Of statements that contradict each other none is taken."
    ),
)

NOTE: Final = (
    "24 by 16, inch and a half thick, alloy, half-thirteen on two-inch centres, goes on a table with 18 mm slots, "
    "need three"
)


def kinds() -> list[Any]:
    """The types whose schemas `paths` takes, in their order."""
    return [ReadingRequest, Reading]


def paths(schemas: Sequence[Document], post: Callable[..., Document]) -> Document:
    """The call."""
    request, answer = schemas
    operation = post("readings", READ, request, answer, *REFUSED)
    exemplify(operation, "A note from the telephone", {"note": NOTE, "as_of": "2026-03-02"})
    return {"/v1/readings": {"post": operation}}
