"""What is milled into a flat plate where the customer wants it, and the areas that are kept free. Lengths are mm."""

from typing import Final

from msgspec import Struct

from tallyplate.contract.outlines import POLYGON, Outline
from tallyplate.units import decimal_text

DIAMETER: Final = "\u00d8"


class Milled(Struct, frozen=True, gc=False):
    """A pocket, slot or cut-out: `outline` on coordinates of the top, milled `depth` deep from its face.

    `corner` is the radius that its inner corners have, so that no end mill may be wider than twice that. `asked` is the
    field of the spec that asks for it, as a JSON Pointer into the request.
    """

    kind: str
    outline: Outline
    depth: float
    corner: float
    through: bool = False
    face: str = "top"
    asked: str = ""

    @property
    def volume(self) -> float:
        """What is milled out, in mm3."""
        return self.outline.area * self.depth

    @property
    def walls(self) -> float:
        """Area of its walls in mm2."""
        return self.outline.around * self.depth

    @property
    def narrowest(self) -> float:
        """Width that an end mill must pass in mm: a slot's or circle's own; of other outlines twice the corner."""
        return 2 * (self.outline.radius if len(self.outline.core) < POLYGON else self.corner)

    @property
    def words(self) -> str:
        """Its size as a customer reads it, in mm, such as "80 x 40 x 12 mm"."""
        sizes = [*self.outline.sizes] if self.through else [*self.outline.sizes, self.depth]
        said = " x ".join(decimal_text(size, 3) for size in sizes)
        round_one = DIAMETER if len(self.outline.core) == 1 else ""
        corners = f"of {len(self.outline.core)} corners within " if self.cornered else ""
        return f"{corners}{round_one}{said} mm{' through' * (self.through and self.kind == 'slot')}"

    @property
    def cornered(self) -> bool:
        """Whether its outline was given by its corners."""
        return len(self.outline.core) >= POLYGON and not self.outline.radius


class KeptFree(Struct, frozen=True, gc=False):
    """An area without holes of the pattern, on coordinates of the top, and the field that asks for it."""

    outline: Outline
    asked: str
