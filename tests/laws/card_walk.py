"""Every rate of a card, found by walking it: what a module declares for its section is covered on its first day."""

from collections.abc import Iterator
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import Rate, Sum
from tallyplate.rates.inherit import Resolved


def leaves(node: Any, path: str = "") -> Iterator[tuple[str, Rate | Sum]]:
    """Each rate and sum under a node, and where it stands."""
    if isinstance(node, Rate | Sum):
        yield path, node
    for step, child in _children(node):
        yield from leaves(child, f"{path}.{step}" if path else str(step))


def _children(node: Any) -> list[tuple[Any, Any]]:
    if isinstance(node, Resolved):
        return []  # What was written: text, which no rate is.
    if isinstance(node, Struct):
        return [(name, getattr(node, name)) for name in node.__struct_fields__]
    if isinstance(node, dict):
        return list(node.items())
    return list(enumerate(node)) if isinstance(node, tuple) else []


def instead(node: Any, old: Rate | Sum, new: Rate | Sum) -> Any:
    """The same tree with one leaf, known by identity, changed for another."""
    if node is old:
        return new
    made = {step: instead(child, old, new) for step, child in _children(node)}
    if all(made[step] is child for step, child in _children(node)):
        return node
    if isinstance(node, Struct):
        return replace(node, **made)
    return made if isinstance(node, dict) else tuple(made.values())


def raised(leaf: Rate | Sum, by: int) -> Rate | Sum:
    """A rate or sum higher by so many of its last decimals."""
    return Sum(leaf.minor + by) if isinstance(leaf, Sum) else type(leaf)(leaf.coefficient + by, leaf.decimals)
