"""The layers of a drawing, each named for what it holds, with its line weight and colour."""

import re
from typing import Final

from msgspec import Struct
from msgspec.structs import replace


class Layer(Struct, frozen=True):
    """A layer: pen width in mm, colour for paper, the nearest colour index of DXF, and dashes in mm (on, off, ..).

    A `filled` layer holds text and solid shapes and has no outlines.
    """

    name: str
    width: float
    colour: str = "#1a1a1a"
    index: int = 7
    dashes: tuple[float, ...] = ()


INK: Final = "#1a1a1a"
GREY: Final = "#5f6b76"

FIXED: Final = {
    layer.name: layer
    for layer in (
        Layer("HATCH", 0.13, "#8b97a3", 8),
        Layer("CENTER_LINES", 0.18, "#a3542b", 30, (6.0, 1.5, 1.0, 1.5)),
        Layer("HIDDEN", 0.25, GREY, 8, (2.0, 1.0)),
        Layer("OUTLINE", 0.5),
        Layer("SECTION", 0.5),
        Layer("THREADS", 0.18),
        Layer("SECTION_NOTES", 0.18),
        Layer("MARKING", 0.18, "#7a1f1f", 1),
        Layer("DIMENSIONS", 0.18, "#22404f", 152),
        Layer("HOLE_TABLE", 0.18),
        Layer("NOTES", 0.18),
        Layer("WARNING", 0.35, "#b00020", 1),
        Layer("TITLE_BLOCK", 0.25),
        Layer("FRAME", 0.7),
    )
}
"""Line weights of ISO 128's series, 0.13 to 0.7 mm (from memory)."""

FAR_SIDE: Final = "_FAR_SIDE"

KEY: Final = "KEY_"
"""Beginning of the layers of symbols that stand in the table of holes and are none."""

HOLE_COLOURS: Final = (
    ("#0b5aa5", 150), ("#1b7a3d", 92), ("#b3420b", 30), ("#7b2d8b", 6), ("#00707a", 4), ("#8a6d00", 42),
)  # fmt: skip
"""One for each kind of hole in turn: dark enough to be printed in grey."""


def key_layer(layer: Layer) -> Layer:
    """The layer on which the table shows the symbol of holes that lie on another."""
    return replace(layer, name=KEY + layer.name.removeprefix("HOLES_"))


def hole_layer(kind: str, number: int, *, hidden: bool) -> Layer:
    """The layer of a kind of hole, dashed where it opens on the far side."""
    colour, index = HOLE_COLOURS[number % len(HOLE_COLOURS)]
    name = "HOLES_" + (re.sub(r"[^A-Z0-9]+", "_", kind.upper()) or "OTHER")[:40]
    return Layer(f"{name}{FAR_SIDE}" if hidden else name, 0.25, colour, index, (1.6, 0.8) if hidden else ())
