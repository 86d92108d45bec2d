"""What the OpenAPI document says of sets, and of plates that are split for one."""

from collections.abc import Callable, Sequence
from functools import cache
from typing import Annotated, Any, Final, get_type_hints

import msgspec
from msgspec import UNSET, Meta, Struct

from tallyplate.http.openapi_shared import REFUSED, REFUSED_PINNED, Document, exemplify
from tallyplate.sets.answers import SetAnswer
from tallyplate.sets.inquiry import MOST_PLATES, SetEnvelope, SetPlate
from tallyplate.sets.outside import SellingSet
from tallyplate.sets.sections import MOST_SECTIONS, SplitAnswer, SplitRequest

SETS: Final = (
    "Price several plates as one order",
    (
        f"Takes at most {MOST_PLATES} plates. What the order shares is counted once: price breaks and whole lots over "
        "all plates, minima, and setting up; overhead, margin and the minimum order act on the whole. The total is the "
        "sum of all lines, those of the plates and those that they share. Plates that are made alike are counted "
        "together. Findings, assumptions and refusals point into the request, such as `/plates/2/plate/length`. "
        "Callers with the scope `cost` see cost lines, others selling amounts only."
    ),
)

EXAMPLE: Final[Document] = {
    "plates": [
        {
            "name": "left table",
            "plate": {"family": "rectangular", "length": "24 in", "width": "16 in", "material": "steel-1018"},
            "quantity": 2,
        },
        {
            "name": "right table",
            "plate": {"family": "rectangular", "length": "16 in", "width": "16 in", "material": "steel-1018"},
        },
    ],
    "as_of": "2026-03-02",
}

SECTIONS: Final = (
    "Split a plate into sections of a set",
    (
        "For a rectangular plate that is too large for the machine or the stock, with one lattice whose pitch and "
        "margin are stated. Each section is a plate of a set as it stands: its lattice runs on over the joints, half a "
        "pitch from the holes on either side, and `joined` names the edges whose dowels and keys the set prices. A "
        f"joined plate is neither as stiff nor as true as one piece. At most {MOST_SECTIONS} sections."
    ),
)
LARGE: Final[Document] = {
    "plate": {
        "family": "rectangular",
        "length": "2400 mm",
        "width": "600 mm",
        "thickness": "48 mm",
        "material": "al-6061-t6",
        "pattern": {"pitch": "50 mm", "screw": "M12", "margin": "25 mm"},
    },
    "along": "length",
    "sections": 2,
    "name": "long bed",
}


@cache
def request_type(price_request: type[Struct]) -> type[Struct]:
    """The set with its plates as one of the installed families' specs, for its schema; one type for all that ask."""
    hints = {**get_type_hints(SetPlate, include_extras=True)}
    hints["plate"] = get_type_hints(price_request, include_extras=True)["plate"]
    plate = _struct("SetPlate", hints, ("plate",), SetPlate.__doc__)
    around = get_type_hints(SetEnvelope, include_extras=True)
    around["plates"] = Annotated[list[plate], Meta(min_length=1, max_length=MOST_PLATES)]  # type: ignore[valid-type]
    said = "What is to be priced as one order: plates of the installed families, how many of each, and for when."
    return _struct("SetRequest", around, ("plates",), said)


def split_type(price_request: type[Struct]) -> type[Struct]:
    """The plate to be split as one of the installed families' specs, for its schema."""
    hints = {**get_type_hints(SplitRequest, include_extras=True)}
    hints["plate"] = get_type_hints(price_request, include_extras=True)["plate"]
    return _struct("SplitRequest", hints, ("plate", "along", "sections"), SplitRequest.__doc__)


def kinds(price_request: type[Struct]) -> list[Any]:
    """The types whose schemas `paths` takes, in their order."""
    return [request_type(price_request), SetAnswer, SellingSet, split_type(price_request), SplitAnswer]


def paths(schemas: Sequence[Document], post: Callable[..., Document]) -> Document:
    """The two calls."""
    request, inside, outside, whole, parts = schemas
    operation = post("set", SETS, request, {"anyOf": [inside, outside]}, *REFUSED_PINNED)
    exemplify(operation, "Two kinds of plates in inches", EXAMPLE)
    splitting = post("sections", SECTIONS, whole, parts, *REFUSED)
    exemplify(splitting, "A plate longer than the machine's travel", LARGE)
    return {"/v1/sets": {"post": operation}, "/v1/sections": {"post": splitting}}


def _struct(name: str, hints: dict[str, Any], needed: tuple[str, ...], said: str | None) -> type[Struct]:
    fields: list[Any] = [(field, kind) if field in needed else (field, kind, UNSET) for field, kind in hints.items()]
    return msgspec.defstruct(name, fields, namespace={"__doc__": said}, forbid_unknown_fields=True, kw_only=True)
