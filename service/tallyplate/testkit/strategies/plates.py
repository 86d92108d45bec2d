"""A strategy for plates of a family, from what its spec says of itself."""

from typing import Any, Final

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy
from msgspec import inspect

from tallyplate.contract import Family, Length, ShopData
from tallyplate.proof.plates import Json, mm
from tallyplate.testkit.examples import bare, fields, said_of
from tallyplate.testkit.strategies.builds import demonstration
from tallyplate.units import length

TIMES: Final = (1.0, 0.999, 1.001, 0.5, 0.8, 1.25, 2.0, 0.1, 10.0)
"""An example, sizes near it, and sizes far from it."""
SIZES: Final = ("35 mm", "1 in", "100 mm", "0.05 mm", "1 1/2 in")
"""Lengths where a spec gives no example."""
MOST: Final = 12
"""Most items that are drawn of a list or for a count without limits."""
Drawn = SearchStrategy[Any]


def plates(family: Family, name: str, shop: ShopData | None = None) -> SearchStrategy[Json]:
    """Plates of a family as a caller would ask for them; some of them cannot be made and are refused.

    Lengths are the spec's examples and multiples of them; names are the shop's.
    """
    shop = shop or demonstration().shops[-1]
    offered = {"material": tuple(shop.materials), "finish": tuple(shop.finishes), "screw": tuple(shop.screws)}
    return _struct(family.spec, offered).map(lambda plate: {"family": name, **plate})


def _struct(kind: type, offered: dict[str, tuple[str, ...]]) -> SearchStrategy[Json]:
    required = {field.encode_name: _field(field, offered) for field in fields(kind) if field.required}
    optional = {field.encode_name: _field(field, offered) for field in fields(kind) if not field.required}
    return st.fixed_dictionaries(required, optional=optional)


def _field(field: inspect.Field, offered: dict[str, tuple[str, ...]]) -> Drawn:
    names = offered.get(field.encode_name)
    return st.sampled_from(names) if names else _value(field.type, offered)


def _value(told: Any, offered: dict[str, tuple[str, ...]]) -> Drawn:  # noqa: ANN401 - a type of msgspec's own tree
    kind, examples = bare(told), tuple(said_of(told).get("examples", ()))
    if isinstance(kind, inspect.StructType):
        return _struct(kind.cls, offered)
    if isinstance(kind, inspect.LiteralType | inspect.BoolType):
        return st.sampled_from(getattr(kind, "values", (False, True)))
    if isinstance(kind, inspect.IntType):
        return st.integers(kind.ge or 0, MOST if kind.le is None else kind.le)
    if isinstance(kind, inspect.VarTupleType):
        return st.lists(_value(kind.item_type, offered), max_size=kind.max_length or MOST)
    if getattr(kind, "cls", None) is Length:
        return st.builds(_times, st.sampled_from(examples or SIZES), st.sampled_from(TIMES))
    return st.sampled_from(examples) if examples else st.text(max_size=MOST)


def _times(size: str, times: float) -> str:
    return size if times == 1.0 else mm(times * length(size))
