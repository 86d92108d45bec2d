"""How a quote sheet is asked for: for whom, and in which conventions. It changes no word of what is signed."""

from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

Convention = Literal["american", "european"]


class SheetOptions(Struct, frozen=True, forbid_unknown_fields=True):
    """The look of a quote as a page or on paper; everything has a usual answer."""

    form: Annotated[
        Literal["outside", "inside"],
        Meta(description="For the customer, or for the house, with cost; a service of the inside form has both."),
    ] = "outside"
    conventions: (
        Annotated[
            Convention,
            Meta(description="How numbers and dates are written; usually by the customer's country, or the seller's."),
        ]
        | UnsetType
    ) = UNSET
    paper: Annotated[Literal["A4", "letter"], Meta(description="Usually by the conventions.")] | UnsetType = UNSET
    unit: (
        Annotated[Literal["mm", "in"], Meta(description="Of lengths; usually that of most in the request.")] | UnsetType
    ) = UNSET
