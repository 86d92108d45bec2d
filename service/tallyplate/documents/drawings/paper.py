"""What a drawing is asked for: its paper, scale, projection and unit, and the words of its title block."""

from typing import Annotated, Final, Literal, get_args

from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.contract.refusals import refuse

PaperName = Literal["A4", "A3", "A2", "A1", "A0", "ANSI A", "ANSI B", "ANSI C", "ANSI D", "ANSI E"]
ScaleName = Literal[
    "10:1", "5:1", "2:1", "1:1", "1:2", "1:2.5", "1:4", "1:5", "1:8", "1:10", "1:16", "1:20", "1:50", "1:100",
]  # fmt: skip

PAPERS: Final[dict[str, tuple[float, float]]] = {
    "A4": (297.0, 210.0), "A3": (420.0, 297.0), "A2": (594.0, 420.0), "A1": (841.0, 594.0), "A0": (1189.0, 841.0),
    "ANSI A": (279.4, 215.9), "ANSI B": (431.8, 279.4), "ANSI C": (558.8, 431.8), "ANSI D": (863.6, 558.8),
    "ANSI E": (1117.6, 863.6),
}  # fmt: skip
"""Width and height in mm, landscape: ISO 216, and the American sheets of 11 x 8.5 in and its doubles (from memory)."""

METRIC_SCALES: Final = ("10:1", "5:1", "2:1", "1:1", "1:2", "1:2.5", "1:4", "1:5", "1:10", "1:20", "1:50", "1:100")
"""The scales of ISO 5455 (from memory), and two between them (common practice, no source)."""
INCH_SCALES: Final = ("10:1", "5:1", "2:1", "1:1", "1:2", "1:4", "1:8", "1:16", "1:50", "1:100")
"""Halves, as inch scales are divided (common practice, no source)."""

Words = Annotated[str, Meta(max_length=200)]


class DrawingOptions(Struct, frozen=True, forbid_unknown_fields=True):
    """How a drawing shall look; everything has a usual answer. `title` and `number` stand in the title block."""

    paper: Annotated[PaperName, Meta(title="Paper", description="Landscape.")] = "A3"
    scale: (
        Annotated[ScaleName, Meta(title="Scale", description="Usually the largest that fits the paper.")] | UnsetType
    ) = UNSET
    projection: Annotated[Literal["first_angle", "third_angle"], Meta(title="Projection")] = "third_angle"
    unit: Annotated[Literal["mm", "in"], Meta(title="Unit of dimensions and of the DXF")] = "mm"
    title: Annotated[Words, Meta(title="Title")] = "Fixture plate"
    number: Annotated[Words, Meta(title="Drawing number")] = ""


def ratio(scale: str) -> float:
    """A scale as a factor."""
    over, _, under = scale.partition(":")
    return int(over) / float(under)


def chosen(options: DrawingOptions, largest: float) -> str:
    """The scale asked for, or the largest usual one that fits; refuses one larger than the `largest` that fits."""
    usual = INCH_SCALES if options.unit == "in" else METRIC_SCALES
    if options.scale is UNSET:
        fits = [scale for scale in usual if ratio(scale) <= largest]
        if not fits:
            raise refuse("/drawing/paper", f"{options.paper!r} has no room at any scale; accepted: a larger paper")
        return fits[0]
    scale = str(options.scale)
    if ratio(scale) > largest:
        smaller = [one for one in get_args(ScaleName) if ratio(one) <= largest]
        accepted = ", ".join(smaller) + ", or a larger paper" if smaller else "a larger paper"
        raise refuse("/drawing/scale", f"{scale!r} does not fit {options.paper}; accepted: {accepted}")
    return scale
