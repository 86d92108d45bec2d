"""Material that the customer supplies, for any family that cuts a body from a blank."""

from collections.abc import Sequence
from typing import Annotated

from msgspec import Meta, UnsetType
from msgspec.structs import replace

from tallyplate.contract import Blank

Supplied = Annotated[
    bool,
    Meta(
        title="Material supplied by the customer",
        description="The customer sends a blank for each plate, cut to size; only its handling and check are charged.",
    ),
]


def as_supplied(blanks: Sequence[Blank], supplied: bool | UnsetType) -> tuple[Blank, ...]:
    """The blanks as they are bought; or the smallest of the first form, as the customer sends it.

    One alone, so that the customer knows which; nobody waits for a foundry then.
    """
    if supplied is not True:
        return tuple(blanks)
    smallest = min((blank for blank in blanks if blank.form == blanks[0].form), key=lambda blank: blank.volume)
    return (replace(smallest, supplied=True, days=0.0),)
