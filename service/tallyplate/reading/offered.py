"""Materials and finishes by the words of their names: those of the ids and titles in the shop data, however spelled."""

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from tallyplate.contract import ShopData
from tallyplate.reading.items import Item, Named
from tallyplate.reading.tokens import words

SPELLED: Final = {
    **dict.fromkeys(("aluminum", "alu", "ali", "ally", "alum"), "aluminium"),
    **dict.fromkeys(("anodised", "anodize", "anodise", "anodizing", "anodising"), "anodized"),
    **dict.fromkeys(("oxided", "oxidised", "oxidized"), "oxide"),
    "gray": "grey",
    "pom": "acetal",
    "steels": "steel",
}
"""Other spellings and trade names."""

GENERIC: Final = frozenset(("and", "plate", "plates", "tooling", "machined", "as"))
"""Words in names that say nothing by themselves, and that a mention need not have."""

WEAK: Final = words("al t cast mild grey quenched tempered hard black precision")
"""Words that name something only beside others."""

ALLOYS: Final = frozenset(("alloy", "alloys"))
"""A light metal as well as an alloyed steel: every material whose group or title can be called so."""

OTHERS: Final = words(
    "stainless ductile nodular tool spring galvanised galvanized brass bronze titanium copper carbon nylon sg "
    "malleable high-tensile mic cold bright"
)
"""Words beside a material's that make it another."""

INTO: Final = words(
    "in from of is with material use using but not either or and grade plate it "
    "thick thk long wide high dia round square"
)
"""Words after which figures may name a material."""

SERIES: Final = words("aw aa en al")
"""What a standard puts before the figures of an alloy, with a hyphen."""

LABELS: Final = words("no po drawing dwg ref part ext job order tel phone rev number item quote room unit")
"""Words after which figures are a label rather than a material."""


def _parts(text: str) -> list[str]:
    return [SPELLED.get(one, one) for one in re.findall("[a-z]+|[0-9]+", text.lower())]


def _named(ids: Mapping[str, str]) -> dict[str, frozenset[str]]:
    return {name: frozenset((*_parts(name), *_parts(title))) for name, title in ids.items()}


def materials(items: Sequence[Item], shop: ShopData) -> Iterator[tuple[int, int, Named]]:
    """Every mention of materials: the items from the first up to the last, and what they name."""
    named_by = _named({name: f"{one.title} {one.group}" for name, one in shop.materials.items()})
    named_by = {name: own | (ALLOYS if one.group == "aluminium" or "alloy" in own else frozenset())
             for (name, own), one in zip(named_by.items(), shop.materials.values(), strict=True)}  # fmt: skip
    vocabulary = frozenset().union(*named_by.values()) - GENERIC | {"tooling"}
    for first, after in _runs(items, vocabulary):
        run = [SPELLED.get(one.text, one.text) for one in items[first:after] if one.text in vocabulary | set(SPELLED)]
        said = [one for one in run if one not in GENERIC or {"cast", "tooling"} <= {*run}]
        whole = any({*_parts(name)} <= {*run} for name in named_by)
        weak = all(one in WEAK or (one.isdigit() and len(one) == 1) for one in said)
        if weak and not whole and {"cast", "tooling"} - {*run}:
            continue
        fitting = tuple(name for name, own in named_by.items() if own.issuperset(said))
        named = _one(fitting, run, shop)
        if named.name and (other := _beside(items, first, after)):
            named = Named(None, fitting, other, rival=False)
        yield first, after, named
    yield from _by_hardness(items, shop)


def _one(fitting: tuple[str, ...], run: Sequence[str], shop: ShopData) -> Named:
    if len(fitting) == 1:
        whole = set(_parts(fitting[0])) <= set(run) or set(_parts(shop.materials[fitting[0]].title)) <= set(run)
        return Named(fitting[0], because="" if whole else "the only material on offer that is called so")
    if fitting:
        return Named(None, fitting, "more than one material on offer is called so")
    return Named(None, tuple(shop.materials), "no material on offer is called all of this")


def _by_hardness(items: Sequence[Item], shop: ShopData) -> Iterator[tuple[int, int, Named]]:
    for at, one in enumerate(items[:-1]):
        if one.text in {"soft", "hard"} and items[at + 1].text in {"metal", "metals", "material"}:
            soft = one.text == "soft"
            of = tuple(n for n, m in shop.materials.items() if m.bushed == soft and m.group != "plastic")
            yield at, at + 2, Named(None, of, f"says a kind of metal, and {len(of)} on offer are of it")


def _runs(items: Sequence[Item], vocabulary: frozenset[str]) -> Iterator[tuple[int, int]]:
    """Stretches of words of a vocabulary, perhaps with hyphens between them."""
    at = 0
    while at < len(items):
        after = at
        while after < len(items) and SPELLED.get(items[after].text, items[after].text) in vocabulary:
            after += 1
            if after + 1 < len(items) and items[after].text == "-" and _canonical(items[after + 1]) in vocabulary:
                after += 1
        if after > at:
            yield at, after
        at = max(after, at + 1)


def _canonical(one: Item) -> str:
    return SPELLED.get(one.text, one.text)


def _beside(items: Sequence[Item], first: int, after: int) -> str:
    """What stands beside a mention and may make it another material, or no mention at all."""
    before = items[first - 1] if first and items[first - 1].kind != "end" else None
    behind = items[after] if after < len(items) else None
    if behind and behind.start == items[after - 1].end and (behind.kind in {"count", "code"} or _goes_on(items, after)):
        return "more of a name follows directly"
    if any(one.text in OTHERS for one in (*items[max(0, first - 2) : first], *items[after : after + 2])):
        return "a word beside it makes it another material"
    if all(one.text.isdigit() for one in items[first:after]):
        if before and (before.text in {*LABELS, "#"} or before.kind in {"count", "code"}):
            return "may be a number of something else"
        glued = before and before.end == items[first].start and before.text not in {"(", ",", ":"}
        if glued and not (before and before.text == "-" and first > 1 and items[first - 2].text in SERIES):
            return "may be part of a name"
        lone = before and before.kind == "word" and before.text not in INTO
        if lone and not (behind and behind.text in {"plate", "plates", "-"}):
            return "may be a number of something else"
    return ""


def _goes_on(items: Sequence[Item], after: int) -> bool:
    here, then = items[after], items[after + 1] if after + 1 < len(items) else None
    return here.kind == "word" or (here.text == "-" and then is not None and then.start == here.end)


def finishes(items: Sequence[Item], shop: ShopData) -> Iterator[tuple[int, int, Named]]:
    """Every mention of finishes, as `materials` has them: the finish with the most of the words that were said."""
    named_by = _named({name: name for name in shop.finishes}) | {
        f"{name} ": frozenset(_parts(one.title)) for name, one in shop.finishes.items()
    }
    vocabulary = frozenset().union(*named_by.values())
    for first, after in _runs(items, vocabulary):
        run = {_canonical(one) for one in items[first:after]}
        sets = {name: own for name, own in named_by.items() if own <= run}
        most = max(map(len, sets.values()), default=0)
        found = {name.strip() for name, own in sets.items() if len(own) == most}
        beside = {one.text for one in (*items[max(0, first - 2) : first], *items[after : after + 1])}
        if not found or (run == {"plain"} and "finish" not in beside):
            continue
        if len(found) > 1 or "type" in beside:
            yield first, after, Named(None, tuple(found), "a kind of finish is said beside it")
        else:
            yield first, after, Named(found.pop())
