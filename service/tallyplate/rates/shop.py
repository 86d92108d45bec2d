"""Where shop data come from: plugins need not know, but a message names the file and all that its folder knows."""

from collections.abc import Mapping, Sequence
from typing import Any, cast

from tallyplate.contract import ShopData
from tallyplate.rates.inherit import Resolved


class Folder:
    """All shop data of a folder, the work centres that they state, and what else they name, by its kind."""

    def __init__(self, shops: Sequence[ShopData]) -> None:
        self.shops = shops
        self.centers = frozenset(center for shop in shops for center in shop.work_centers)
        kinds = [(shop.materials, _groups(shop), shop.screws, shop.finishes) for shop in shops]
        self.kinds = tuple(frozenset[str]().union(*kind) for kind in zip(*kinds, strict=True))


def _groups(shop: ShopData) -> set[str]:
    return {material.group for material in shop.materials.values()}


class Sections(dict[str, Any]):
    """The sections of plugins in shop data, by name, with the file that states them and its folder."""

    def __init__(self, sections: Mapping[str, Any], resolved: Resolved) -> None:
        super().__init__(sections)
        self.resolved, self.folder = resolved, Folder(())


def sections_of(shop: ShopData) -> Sections:
    """The sections of shop data that were loaded from a file."""
    return cast("Sections", shop.sections)
