"""Whether what a family built can be priced at all: a build of the contract, of what the shop has, in real numbers.

What is wrong here is the family's doing. Unchecked, the first cost module that stumbles over it would get the blame.
"""

from collections.abc import Iterator
from typing import Final

from tallyplate.contract import Build, HoleGroup, ShopData

MOST: Final = 1e15
"""Beyond any length, area or volume in mm, mm2 or mm3; also keeps out what is not finite."""

SIZES: Final = ("length", "width", "thickness", "plan_area", "perimeter", "volume", "surface")
"""Of a body, each more than nothing."""


def unsound(build: object, shop: ShopData) -> str:
    """What keeps a build from being priced, or nothing; holes and hardware are looked at by what prices them."""
    if not isinstance(build, Build):
        return f"it built a {type(build).__name__}, not a Build"
    return next(_faults(build, shop), "")


def _faults(build: Build, shop: ShopData) -> Iterator[str]:
    for name, found, offered in (
        ("body.material", build.body.material, shop.materials),
        ("finish", build.finish, shop.finishes),
    ):
        if found not in offered:
            yield f"{name} is {found!r}; accepted: {', '.join(offered)}"
    sizes = [(f"body.{name}", getattr(build.body, name)) for name in SIZES]
    for blank in (build.blank, *build.other_blanks):
        sizes += [("blank.length", blank.length), ("blank.width", blank.width), ("blank.thickness", blank.thickness)]
    for name, size in (*sizes, ("position_tolerance", build.position_tolerance), ("flatness", build.flatness)):
        if not 0 < size < MOST:
            yield f"{name} is {size}; accepted: a number above 0"
    if not 0 <= build.setups < MOST:
        yield f"setups is {build.setups}; accepted: 0 or more"
    for kind in {type(group) for group in build.holes} - {HoleGroup}:
        yield f"holes has a {kind.__name__}; accepted: HoleGroup"
