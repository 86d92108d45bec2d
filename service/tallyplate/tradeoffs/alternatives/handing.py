"""Having a family build a plate from values that it may hand on but not look at."""

from collections.abc import Mapping
from typing import Any

from msgspec import UnsetType
from msgspec.structs import replace

from tallyplate.contract import Build, PlateSpec, Refusal, ShopData, Usual
from tallyplate.tradeoffs.alternatives.opaque import Looked, Opaque
from tallyplate.tradeoffs.alternatives.pricer import Pricer


class Open(ShopData, frozen=True, eq=False):
    """Shop data that let an opaque name pass where all that it stands for is on offer."""

    def require(self, *asked: tuple[str, Any, Mapping[str, object]]) -> None:
        """See `ShopData.require`."""
        plain: list[tuple[str, str | UnsetType, Mapping[str, object]]] = []
        for pointer, name, offered in asked:
            if type(name) is not Opaque:
                plain.append((pointer, name, offered))
            elif not all(value in offered for value in name.values):
                raise Looked(name)
        ShopData.require(self, *plain)


class Noted(Usual):
    """Usual answers, and those that would stand in the place of opaque ones."""

    __slots__ = ("noted",)

    def __init__(self) -> None:
        super().__init__()
        self.noted: list[tuple[Opaque, Any]] = []

    def __call__(self, pointer: str, given: Any, usual: Any, why: str) -> Any:  # noqa: ANN401 - as in `Usual`
        """See `Usual`."""
        if type(given) is Opaque:
            self.noted.append((given, usual))
        return super().__call__(pointer, given, usual, why)

    def of(self, opaque: Opaque) -> Any:  # noqa: ANN401 - as in `Usual`
        """The usual answer in the place of an opaque one; raises `Looked` where none was asked for."""
        for given, usual in self.noted:
            if given is opaque:
                return usual
        raise Looked(opaque)


def opened(shop: ShopData) -> Open:
    """Shop data that let opaque names pass."""
    return Open(*(getattr(shop, name) for name in shop.__struct_fields__))


def handed_on(spec: PlateSpec, opaque: Mapping[str, Opaque], pricer: Pricer, shop: Open, usual: Noted) -> Build:
    """What a family builds of a spec with opaque values in some fields, which the build has in those and in no others.

    Raises `Looked` where the family has looked at one, or wherever it fails, and `Refusal` as it refuses.
    """
    try:
        build = pricer.family.build(replace(spec, **opaque), shop, usual)
    except Refusal:
        raise
    except (Exception, SystemExit):  # noqa: BLE001 - built from real values, it shows whose failure it is
        raise Looked(None) from None
    if not isinstance(build, Build):
        raise Looked(None)
    for name, value in opaque.items():
        if getattr(build, name) is not value:
            raise Looked(value)
    return build
