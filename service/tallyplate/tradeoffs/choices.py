"""The choices of a request: every field of a family's spec that is answered, by the caller or as usual.

Found by walking the spec's own type, so that a family of anybody's has its choices.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, Final

import msgspec
from msgspec import NODEFAULT, Struct
from msgspec import inspect as kinds

from tallyplate.answers import PriceAnswer
from tallyplate.contract import Length, PlateSpec
from tallyplate.decoding import escaped

Value = str | int | bool | tuple[str | int, ...]
"""An answer to one question, as JSON says it."""

QUANTITY: Final = "/quantity"


class Choice(Struct, frozen=True):
    """One field: where it stands, its name and title, its type, and its present value.

    `given` says that the caller gave it, and not the shop. It is None where neither did, nor has the spec a default.
    """

    pointer: str
    name: str
    title: str
    kind: kinds.Type
    value: Value | None
    given: bool

    @property
    def length(self) -> str | None:
        """Its value where it is a length; None where it is something else, whatever its name."""
        is_length = isinstance(self.kind, kinds.CustomType) and self.kind.cls is Length
        return self.value if is_length and isinstance(self.value, str) else None


def choices(request: Mapping[str, Any], price: PriceAnswer, spec: type[PlateSpec]) -> Iterator[Choice]:
    """The choices of a request that has this price: the quantity, then those of its plate, in the order of its spec."""
    assumed: dict[str, Any] = {one.pointer: one.value for one in price.assumed}
    yield Choice(QUANTITY, "quantity", "Quantity", kinds.IntType(), price.quantity, "quantity" in request)
    yield from _within(_struct(spec), request["plate"], "/plate", assumed, ())


def _within(
    of: kinds.StructType, asked: Mapping[str, Any], pointer: str, assumed: Mapping[str, Any], inside: tuple[type, ...]
) -> Iterator[Choice]:
    for field in of.fields:
        place, kind, given = f"{pointer}/{escaped(field.encode_name)}", bare(field.type), field.encode_name in asked
        value = asked.get(field.encode_name)
        if isinstance(kind, kinds.StructType):
            # A struct may hold its like; what nobody said is looked into once.
            if given or kind.cls not in inside:
                yield from _within(kind, value or {}, place, assumed, (*inside, of.cls))
        elif isinstance(kind, kinds.CollectionType) and isinstance(item := bare(kind.item_type), kinds.StructType):
            for index, one in enumerate(value or ()):
                yield from _within(item, one, f"{place}/{index}", assumed, (*inside, of.cls))
        else:
            if not given:
                value = assumed.get(place, _default(field))
            known = tuple(value) if isinstance(value, list | tuple) else value
            yield Choice(place, field.encode_name, _title(field), kind, known, given)


def _default(field: kinds.Field) -> Any:  # noqa: ANN401 - it is JSON
    """What a spec's own type says of a field that is left out; None where it says nothing."""
    if field.default_factory is not NODEFAULT:
        return msgspec.to_builtins(field.default_factory())
    return None if field.default is NODEFAULT else msgspec.to_builtins(field.default)


@cache
def _struct(spec: type[PlateSpec]) -> kinds.StructType:
    found = kinds.type_info(spec)
    assert isinstance(found, kinds.StructType)  # noqa: S101 - a spec is a struct
    return found


def bare(kind: kinds.Type) -> kinds.Type:
    """A type without what is said about it, and without None beside it."""
    while isinstance(kind, kinds.Metadata):
        kind = kind.type
    if isinstance(kind, kinds.UnionType):
        present = [part for part in kind.types if not isinstance(part, kinds.NoneType)]
        return bare(present[0]) if len(present) == 1 else kind
    return kind


def _title(field: kinds.Field) -> str:
    said = field.type.extra_json_schema if isinstance(field.type, kinds.Metadata) else None
    return str((said or {}).get("title") or field.encode_name.replace("_", " ").capitalize())
