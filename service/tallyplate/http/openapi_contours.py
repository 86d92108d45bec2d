"""What the OpenAPI document says of reading contours."""

from collections.abc import Callable, Sequence
from typing import Any, Final

from tallyplate.contours.reading import ContourAnswer, ContourRequest
from tallyplate.http.openapi_shared import Document, exemplify

READ: Final = (
    "Read contours from a DXF",
    (
        "Takes an ASCII DXF as text and the name of a layer, and answers with `features` for a plate's spec: circles "
        "by their diameter, closed contours of lines, arcs and polylines by their corners, in mm, arcs flattened "
        "within the chord error. Contours that are open, cross themselves, or lie within or meet another are refused "
        "by their entities; entities of other kinds stand in `not_understood`. Nothing is priced or kept."
    ),
)
REFUSED: Final = ("malformed-json", "too-large", "not-json", "invalid-request", "internal-error")

PAIRS: Final = (
    (0, "SECTION"), (2, "HEADER"), (9, "$INSUNITS"), (70, "4"), (0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES"),
    (0, "CIRCLE"), (8, "CUT"), (10, "120.0"), (20, "80.0"), (40, "25.0"), (0, "ENDSEC"), (0, "EOF"),
)  # fmt: skip
"""A file with one circle."""


def kinds() -> list[Any]:
    """The types whose schemas `paths` takes, in their order."""
    return [ContourRequest, ContourAnswer]


def paths(schemas: Sequence[Document], post: Callable[..., Document]) -> Document:
    """The call."""
    request, answer = schemas
    operation = post("contours", READ, request, answer, *REFUSED)
    dxf = "".join(f"{code}\n{value}\n" for code, value in PAIRS)
    exemplify(operation, "A circle on the layer CUT", {"dxf": dxf, "layer": "CUT"})
    return {"/v1/contours": {"post": operation}}
