"""Every fault of a request that is refused: also those that the first ones kept from being seen.

A plate is read, laid out and held against the shop step after step, and a step that refuses ends it. So fields at fault
are taken out of the request, and it is asked again until nothing new is refused; what a plate cannot be without gets
something good in its place. All this is done in two ways that differ in what stands in: what both refuse in the same
words has nothing to do with it.
"""

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Annotated, Any, Final, Literal, get_args, get_origin, get_type_hints

from msgspec import Meta
from msgspec.structs import fields

from tallyplate.contract import Family, Fault, Length, PlateSpec, Refusal, ShopData
from tallyplate.pointers import applied, steps
from tallyplate.pricing import PluginFailure

ROUNDS: Final = 8
"""How often at most a request is asked again, each time in both ways."""

WAYS: Final = (0, 1)

UNCUT: Final = {"plate", "plates", "family"}
"""Fields without which there is nothing to ask."""

Ask = Callable[[object], object]
"""Raises `Refusal` for a request that cannot be priced."""


def every_fault(refusal: Refusal, request: object, ask: Ask, families: Mapping[str, Family], shop: ShopData) -> Refusal:
    """A refusal of the same kind with all faults of a request, those that it had first."""
    if not isinstance(request, Mapping):
        return refusal
    told = dict.fromkeys(refusal.faults)
    cuts = {_cut(request, fault.pointer) for fault in told}
    for _ in range(ROUNDS):
        one, other = (_asked_without(cuts, request, ask, families, shop, way) for way in WAYS)
        if one is None or other is None:
            break
        both = {fault.pointer for fault in one} & {fault.pointer for fault in other}
        hidden = {at for at in both if not any(_within(at, cut) for cut in cuts)}
        told |= dict.fromkeys([fault for fault in one if fault.pointer in hidden and fault in other])
        # Where what stands in is refused too, or something within is missing, more is taken out.
        wider = {_parent(cut) if any(_within(at, cut) for at in both) else cut for cut in cuts}
        before, cuts = cuts, {_cut(request, at) for at in wider | hidden}
        if cuts == before:
            break
    return type(refusal)(*told)


def _parent(pointer: str) -> str:
    return pointer.rpartition("/")[0]


def _within(pointer: str, cut: str) -> bool:
    return pointer == cut or pointer.startswith(f"{cut}/")


def _cut(request: Mapping[str, Any], pointer: str) -> str:
    """What is taken out for a field at fault: that field, or of lists the whole, lest places move."""
    while isinstance(_place(request, _parent(pointer)), list):
        pointer = _parent(pointer)
    return pointer


def _place(request: Mapping[str, Any], pointer: str) -> Any:  # noqa: ANN401 - it is JSON
    """What stands at a pointer; None where nothing does."""
    place: Any = request
    for step in steps(pointer):
        if isinstance(place, list) and step.isdecimal() and int(step) < len(place):
            place = place[int(step)]
        elif isinstance(place, Mapping):
            place = place.get(step)
        else:
            return None
    return place


def _asked_without(
    cuts: set[str],
    request: Mapping[str, Any],
    ask: Ask,
    families: Mapping[str, Family],
    shop: ShopData,
    way: int,
) -> tuple[Fault, ...] | None:
    """What is refused of a request without its fields at fault; None where that leaves nothing to ask."""
    changes: dict[str, object] = {}
    for cut in cuts:
        change = _change(cut, request, families, shop, way)
        if change is None:
            return None
        changes |= change
    outermost = {at: new for at, new in changes.items() if not any(_within(_parent(at), cut) for cut in changes)}
    try:
        ask(applied(request, outermost))
    except Refusal as refusal:
        return refusal.faults
    except PluginFailure:
        return None
    return ()


def _change(
    cut: str, request: Mapping[str, Any], families: Mapping[str, Family], shop: ShopData, way: int
) -> dict[str, object] | None:
    """How a field is taken out, or what stands in for one that a plate cannot be without; None where nothing can."""
    place, name = _place(request, _parent(cut)), "".join(steps(cut)[-1:])
    if not isinstance(place, Mapping) or name in UNCUT or not cut:
        return None
    family = place.get("family")
    known = families.get(family) if isinstance(family, str) else None
    needed, stand_ins = _needed(known.spec).get(name, (False, ())) if known else (False, ())
    if name == "material":
        stand_ins = tuple(shop.materials)
    if needed:
        return {cut: stand_ins[-way]} if stand_ins else None
    return {cut: stand_ins[0] if way and stand_ins else None}


@cache
def _needed(spec: type[PlateSpec]) -> dict[str, tuple[bool, tuple[Any, ...]]]:
    """For each field of a spec whether a plate must have it, and what may stand in: examples of it, or its choices.

    A field that may be left out is left out, but for lengths: on them others' limits depend.
    """
    hints = get_type_hints(spec, include_extras=True)
    return {
        field.encode_name: (field.required, tuple(_stand_ins(hints[field.name], required=field.required)))
        for field in fields(spec)
    }


def _stand_ins(hint: Any, *, required: bool) -> Iterator[Any]:  # noqa: ANN401 - a type, or one with what is said of it
    if get_origin(hint) is Annotated:
        if required or get_args(hint)[0] is Length:
            yield from (one for meta in hint.__metadata__ if isinstance(meta, Meta) for one in meta.examples or ())
        yield from _stand_ins(get_args(hint)[0], required=required)
    elif get_origin(hint) is Literal:
        yield from get_args(hint) if required else ()
    else:
        yield from (one for part in get_args(hint) for one in _stand_ins(part, required=required))
