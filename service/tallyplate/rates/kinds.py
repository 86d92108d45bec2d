"""What stands where in a card or in shop data: the head and every plugin's section as one type, to walk through."""

from collections.abc import Mapping
from typing import Any, get_type_hints

import msgspec
from msgspec import UNSET, Struct, inspect

from tallyplate.contract import CostModule, Family
from tallyplate.rates.heads import CardHead, ShopHead

Step = str | int
Place = tuple[Step, ...]
"""A key from the root of a file; places of a list are counted from 0."""


def card_type(modules: Mapping[str, CostModule]) -> type[Struct]:
    """A rate card as these modules read it, in one type."""
    return _whole(CardHead, {name: module.rates for name, module in modules.items()}, _optional(modules))


def shop_type(modules: Mapping[str, CostModule], families: Mapping[str, Family]) -> type[Struct]:
    """Shop data as these modules and families read them, in one type."""
    figures = {name: module.figures for name, module in modules.items()}
    return _whole(ShopHead, figures | {name: family.figures for name, family in families.items()}, _optional(modules))


def _optional(modules: Mapping[str, CostModule]) -> set[str]:
    return {name for name, module in modules.items() if module.optional}


def _whole(head: type[Struct], sections: Mapping[str, type[Struct] | None], may_lack: set[str]) -> type[Struct]:
    fields: dict[str, Any] = get_type_hints(head, include_extras=True)
    fields |= {name: struct for name, struct in sections.items() if struct is not None}
    # A plugin's name need not be a Python name, so that fields are numbered and renamed.
    names = {f"f{number}": name for number, name in enumerate(fields)}
    # What may be absent stays so.
    optional = may_lack | {field.name for field in msgspec.structs.fields(head) if not field.required}
    kinds = [(field, fields[name], *([UNSET] if name in optional else [])) for field, name in names.items()]
    return msgspec.defstruct(head.__name__, kinds, rename=names, frozen=True, forbid_unknown_fields=True, kw_only=True)


def plain(kind: inspect.Type) -> inspect.Type:
    """A type without annotations and without the possibility of being nothing, which TOML cannot say."""
    if isinstance(kind, inspect.Metadata):
        return plain(kind.type)
    if isinstance(kind, inspect.UnionType):
        return plain(next(one for one in kind.types if not isinstance(one, inspect.NoneType)))
    return kind


def inside(kind: inspect.Type, step: Step) -> inspect.Type | None:
    """The type of what stands at a key of a table or at a place of a list; None where nothing can."""
    kind = plain(kind)
    if isinstance(kind, inspect.StructType):
        found = [field.type for field in kind.fields if field.encode_name == step]
        return plain(found[0]) if found else None
    if isinstance(kind, inspect.DictType) and isinstance(step, str):
        return plain(kind.value_type)
    if isinstance(kind, inspect.VarTupleType | inspect.ListType) and isinstance(step, int):
        return plain(kind.item_type)
    return None


def accepted(kind: inspect.Type) -> str:
    """What can stand inside a type, for a message."""
    if isinstance(kind, inspect.StructType):
        return ", ".join(field.encode_name for field in kind.fields)
    if isinstance(kind, inspect.DictType):
        return "any key"
    return "[1], [2] and so on" if isinstance(kind, inspect.VarTupleType | inspect.ListType) else "nothing"
