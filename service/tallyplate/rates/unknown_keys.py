"""Keys of a section's tables that stand for nothing any shop has, such as a misspelt material.

A module's `gaps` name what the shop offers and a section does not state. Asked of the section with its tables emptied,
they name all that is offered: so they tell which tables are keyed by it, and by what.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from msgspec import Struct
from msgspec.structs import fields, replace

from tallyplate.contract import ShopData
from tallyplate.rates.lines import Path

Gaps = Callable[[Any, ShopData], Iterable[str]]
"""What a shop offers and a section does not state, by dotted keys of the section."""

Kinds = Iterable[frozenset[str]]
"""The names of each kind of thing that shops have."""

Table = dict[str, Any]


def unknown_keys(
    section: Struct, gaps: Gaps, shops: Iterable[ShopData], kinds: Kinds
) -> Iterator[tuple[Path, Iterable[str]]]:
    """Each key that no shop knows, and what is accepted; none of a table of which the gaps say nothing.

    A key is known that is offered, that closes the gap of another, or that is of the kind of those that are offered.
    """
    tables = [field for field in fields(section) if isinstance(getattr(section, field.name), dict)]
    bare: Table = {field.name: {} for field in tables}
    strange = {
        (field.encode_name, *keys): bare | {field.name: alone}
        for field in tables
        for keys, alone in _leaves(getattr(section, field.name))
    }
    offered: set[str] = set()
    for shop in shops:
        if not strange:
            break
        here = _open(gaps, section, bare, shop)
        offered |= here
        strange = {
            keys: alone
            for keys, alone in strange.items()
            if ".".join(keys) not in here and _open(gaps, section, alone, shop) == here
        }
    yield from dict(found for keys in strange for found in _unlike(keys, offered, kinds)).items()


def _leaves(table: Table) -> Iterator[tuple[Path, Table]]:
    """Each value of a table by its keys, and the table as it would be with that value alone."""
    for key, value in table.items():
        for keys, alone in _leaves(value) if isinstance(value, dict) else [((), value)]:
            yield (key, *keys), {key: alone}


def _open(gaps: Gaps, section: Struct, tables: Mapping[str, Any], shop: ShopData) -> set[str]:
    """The gaps of a section with other tables; none of one that its module cannot do with."""
    try:
        return set(gaps(replace(section, **tables), shop))
    except Exception:  # noqa: BLE001 - a plugin is asked about tables that nobody wrote
        return set()


def _unlike(keys: Path, offered: set[str], kinds: Kinds) -> Iterator[tuple[Path, Iterable[str]]]:
    """The first of some keys that is not among those offered beside it, with those."""
    for depth in range(1, len(keys)):
        around = "".join(f"{key}." for key in keys[:depth])
        below = len(keys) - 1 - depth
        beside = {gap.removeprefix(around).rsplit(".", below)[0] for gap in offered if gap.startswith(around)}
        accepted = beside.union(*(kind for kind in kinds if kind & beside))
        if beside and keys[depth] not in accepted:
            yield keys[: depth + 1], accepted
            return
