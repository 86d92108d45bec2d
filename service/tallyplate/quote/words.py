"""A plate in one line, in both systems of units, so that the line is read alike everywhere."""

from tallyplate.contract import Build, Family, ShopData
from tallyplate.units import MM_PER_INCH, decimal_text


def title(family: Family, build: Build, shop: ShopData) -> str:
    """Kind, material and outer size of a plate."""
    body = build.body
    sides = (body.length, body.thickness) if body.disc else (body.length, body.width, body.thickness)
    millimetres, inches = (
        " x ".join(decimal_text(side / unit, places) for side in sides) for unit, places in ((1.0, 2), (MM_PER_INCH, 3))
    )
    across = "diameter " if body.disc else ""
    return f"{family.title}, {shop.materials[body.material].title}, {across}{millimetres} mm ({inches} in)"
