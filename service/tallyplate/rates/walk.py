"""Every figure of a card or of shop data, and the same data with one figure changed.

The data are walked as they are, so that what a plugin declares is covered on its first day.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import Figure, Length, Rate, Sum

Leaf = Rate | Sum | Figure | Length


def figures(node: object, path: str = "") -> Iterator[tuple[str, Leaf]]:
    """Each figure under a node, with where it stands."""
    if isinstance(node, Leaf):
        yield path, node
    for step, child in _children(node).items():
        yield from figures(child, f"{path}.{step}" if path else str(step))


Tree = TypeVar("Tree")


def changed(node: Tree, path: str, factor: Fraction) -> Tree:
    """The same data with the figure at a path multiplied; what is not on the way to it is shared."""
    made: Tree = _changed(node, path, factor, "")
    return made


def _changed(node: Any, path: str, factor: Fraction, here: str) -> Any:  # noqa: ANN401 - a tree of anything
    if here == path:
        return _times(node, factor)
    children = _children(node)
    made = dict(children)
    for step, child in children.items():
        there = f"{here}.{step}" if here else str(step)
        if path == there or path.startswith(f"{there}."):
            made[step] = _changed(child, path, factor, there)
    if isinstance(node, Struct):
        return replace(node, **{step: child for step, child in made.items() if child is not children[step]})
    return made if isinstance(node, dict) else tuple(made.values())


def _children(node: object) -> dict[Any, Any]:
    if isinstance(node, Struct):
        return {name: getattr(node, name) for name in node.__struct_fields__}
    if isinstance(node, dict):
        return node
    return dict(enumerate(node)) if isinstance(node, tuple) else {}


def _times(leaf: Leaf, factor: Fraction) -> Leaf:
    if isinstance(leaf, Rate):
        return type(leaf).of(Fraction(leaf.coefficient, 10**leaf.decimals) * factor, leaf.decimals)
    if isinstance(leaf, Sum):
        return Sum(round(leaf.minor * factor))
    if isinstance(leaf, Length):
        return Length(float(leaf * factor), leaf.text)
    return type(leaf)(leaf * factor)


def shown(leaf: Leaf) -> str:
    """A figure as it is used, without its unit."""
    if isinstance(leaf, Rate):
        return leaf.text
    if isinstance(leaf, Length):
        return leaf.text
    return str(leaf.minor) if isinstance(leaf, Sum) else f"{float(leaf):g}"
