"""What the structs of a plugin say of themselves: words, units, and whether they can change."""

import re
from collections.abc import Iterator
from typing import Any, Final

from msgspec import Struct, inspect

from tallyplate.contract import Figure, Length, PlateSpec, Rate, Sum
from tallyplate.testkit.examples import bare, fields, said_of
from tallyplate.units import UnitError, length

OURS: Final = "tallyplate."
"""Modules whose structs are not the author's to mend."""
FIGURE: Final = re.compile(r"[-+]?[0-9]+(\.[0-9]+)?( ?%| [A-Za-z].*)?\Z")
"""A number alone or with a unit; designations such as M12 and 1/2-13 are names."""
COLLECTIONS: Final = (inspect.VarTupleType, inspect.ListType, inspect.SetType, inspect.FrozenSetType)
CHANGEABLE: Final[dict[type, str]] = {
    inspect.ListType: "list",
    inspect.SetType: "set",
    inspect.ByteArrayType: "bytearray",
}


def structs(kind: type) -> Iterator[type]:
    """A struct and every struct within it that is the author's own."""
    yield kind
    for field in fields(kind):
        for told in _parts(field.type):
            if isinstance(told, inspect.StructType) and not told.cls.__module__.startswith(OURS):
                yield from structs(told.cls)


def _parts(told: Any) -> Iterator[Any]:  # noqa: ANN401 - a type of msgspec's own tree
    """A type and the types within it, not going into structs."""
    told = bare(told)
    yield told
    within = [getattr(told, name) for name in ("item_type", "value_type") if hasattr(told, name)]
    for part in (*within, *getattr(told, "types", ()), *getattr(told, "item_types", ())):
        yield from _parts(part)


def own_fields(kind: type) -> list[inspect.Field]:
    """The fields that the author wrote: not those of every spec."""
    common = PlateSpec.__struct_fields__ if issubclass(kind, PlateSpec) else ()
    return [field for field in fields(kind) if field.name not in common]


def undocumented(kind: type, *, fields_too: bool) -> Iterator[str]:
    """Structs without a docstring; in a spec, fields without a title, and without examples where they are needed."""
    for struct in structs(kind):
        if not (struct.__dict__.get("__doc__") or "").strip():
            yield f"the struct {struct.__name__} has no docstring"
        for field in own_fields(struct) if fields_too else ():
            yield from _of_field(struct, field)


def _of_field(struct: type, field: inspect.Field) -> Iterator[str]:
    where, said = f"the field {field.encode_name!r} of {struct.__name__}", said_of(field.type)
    if not said.get("title"):
        yield f"{where} has no title"
    is_length = getattr(bare(field.type), "cls", None) is Length
    if not said.get("examples") and (is_length or (field.required and issubclass(struct, PlateSpec))):
        yield f"{where} has no examples"
    for example in said.get("examples", ()) if is_length else ():
        try:
            length(example)
        except (UnitError, TypeError) as error:
            yield f"{where} has the example {example!r}, which does not parse: {error}"


def bare_types(kind: type, *, money: bool) -> Iterator[str]:
    """Fields whose figures carry no unit; `money` tells a section of a rate card from one of shop data."""
    for struct in structs(kind):
        for field in fields(struct):
            if found := _bare(field.type, money=money):
                yield f"the field {field.encode_name!r} of {struct.__name__} is {found}"


def _bare(told: Any, *, money: bool) -> str:  # noqa: ANN401 - a type of msgspec's own tree
    """What is wrong with a figure's type, in words; nothing for one that is right."""
    kind = bare(told)
    if isinstance(kind, COLLECTIONS):
        return _bare(kind.item_type, money=money)
    if isinstance(kind, inspect.DictType):
        return _bare(kind.value_type, money=money)
    if isinstance(kind, inspect.CustomType):
        return _of_class(kind.cls, money=money)
    if isinstance(kind, inspect.FloatType | inspect.DecimalType):
        return "a bare number, in no unit"
    return "of any type, so that nothing checks it" if isinstance(kind, inspect.AnyType) else ""


def _of_class(kind: type, *, money: bool) -> str:
    if kind in {Figure, Rate}:
        return f"a bare {kind.__name__}, in no unit"
    if issubclass(kind, Rate | Sum):
        return "" if money else f"money ({kind.__name__}), which belongs into the rates: shop data hold none"
    return "" if issubclass(kind, Figure) or kind is Length else f"a {kind.__name__}, which no file can state"


def figures_in_text(node: object, path: str) -> Iterator[str]:
    """Texts of a section that hold a figure, whose unit nothing checks."""
    if type(node) is str and FIGURE.match(node):
        yield f"{path} is text and holds the figure {node!r}"
    parts = node if isinstance(node, dict) else dict(enumerate(node)) if isinstance(node, tuple) else {}
    if isinstance(node, Struct):
        parts = {name: getattr(node, name) for name in node.__struct_fields__}
    for step, part in parts.items():
        yield from figures_in_text(part, f"{path}.{step}")


def open_structs(kind: type[Struct]) -> Iterator[str]:
    """Structs that can be changed, or that let unknown keys pass."""
    for struct in structs(kind):
        config = struct.__struct_config__  # type: ignore[attr-defined]
        if not config.frozen:
            yield f"the struct {struct.__name__} is not frozen"
        if not config.forbid_unknown_fields:
            yield f"the struct {struct.__name__} takes unknown fields without a word"
        for field in own_fields(struct):
            for told in _parts(field.type):
                if type(told) in CHANGEABLE:
                    yield f"the field {field.encode_name!r} of {struct.__name__} holds a {CHANGEABLE[type(told)]}"
