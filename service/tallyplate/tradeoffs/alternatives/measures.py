"""What alternatives are compared by besides their price: clamping positions, precision and stiffness."""

from typing import NamedTuple

from tallyplate.contract import Build, ShopData
from tallyplate.findings.depth import CLAMPING


class Measures(NamedTuple):
    """What a plate is worth to whoever works on it.

    `positions` counts the holes of its pattern that clamp. `tolerance` is the zone diameter of their positions in mm,
    and `stiffness` in N mm a mm of width.
    """

    positions: int
    tolerance: float
    stiffness: float

    def at_least(self, other: "Measures") -> bool:
        """Whether it is as good in every measure."""
        return (
            self.positions >= other.positions
            and self.tolerance <= other.tolerance
            and self.stiffness >= other.stiffness
        )

    @property
    def rank(self) -> tuple[float, float, float]:
        """A key by which a better plate never comes after one that it is as good as in every measure."""
        return -self.positions, self.tolerance, -self.stiffness


def positions(build: Build) -> int:
    """Holes of the pattern that a clamping screw goes into: tapped holes and combination holes."""
    return sum(group.count for group in build.holes if group.kind in CLAMPING and not group.mounting)


def stiffness(build: Build, shop: ShopData) -> float:
    """Bending stiffness of a strip of the plate, per mm of its width: E t^3 / 12, in N mm (that is N mm2 a mm).

    A plate's flexural rigidity is D = E t^3 / (12 (1 - nu^2)) (Timoshenko and Woinowsky-Krieger, Theory of Plates and
    Shells, chapter 1, from memory). Poisson's ratio is left out: shop data do not state it, and it moves D by a tenth
    in every metal alike. Holes, and whether a block is hollow, are not looked at; t is the least side of the body.
    """
    body = build.body
    return shop.materials[body.material].modulus * min(body.length, body.width, body.thickness) ** 3 / 12


def measures(build: Build, shop: ShopData) -> Measures:
    """The measures of a plate."""
    return Measures(positions(build), float(build.position_tolerance), stiffness(build, shop))
