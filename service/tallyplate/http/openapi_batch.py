"""What the OpenAPI document says of prices in batches. The schemas are those of one line; OpenAPI 3.1 has no more."""

from collections.abc import Callable, Sequence
from typing import Any, Final

from tallyplate.http.batch import NDJSON, LineProblem
from tallyplate.http.lines import MAX_LINE, MOST_LINES
from tallyplate.http.openapi_shared import Document

BATCH: Final = (
    "Price many plates at once",
    (
        "Takes a price request a line (NDJSON) and answers each with one line, in order and while it still reads: "
        "the price as the call for one plate gives it, or a problem with the number of the line. Empty lines are "
        f"counted and not answered. A line holds at most {MAX_LINE} bytes, a call at most {MOST_LINES} lines; a "
        "problem of the line after them ends the answer. The status is 200 whatever lines are refused. A client that "
        "sends more than a mebibyte takes answers meanwhile."
    ),
)


def kinds() -> list[Any]:
    """The types whose schemas `paths` takes, in their order."""
    return [LineProblem]


def paths(request: Document, price: Document, schemas: Sequence[Document], post: Callable[..., Document]) -> Document:
    """The call."""
    (refused,) = schemas
    operation = post("price-batch", BATCH, request, {"anyOf": [*price["anyOf"], refused]}, "not-json", "internal-error")
    for part in (operation["requestBody"], operation["responses"]["200"]):
        part["content"] = {NDJSON: part["content"].pop("application/json")}
    return {"/v1/prices/batch": {"post": operation}}
