"""Which plugin is tried: a value, or the name of an installed entry point; and how another process finds it."""

import sys
from collections.abc import Mapping
from importlib.metadata import entry_points
from typing import Any, Generic, TypeVar

from msgspec import Struct

from tallyplate.contract import CostModule, Family
from tallyplate.discovery import COSTS, FAMILIES, PluginError, plugins
from tallyplate.proof.plates import Json

Plugin = TypeVar("Plugin", Family, CostModule)


class Subject(Struct, Generic[Plugin], frozen=True):
    """A plugin by its name; `given` is None for one that is installed. `examples` are plates to try besides its own."""

    kind: type[Plugin]
    name: str
    given: Plugin | None = None
    examples: tuple[Json, ...] = ()

    @property
    def group(self) -> str:
        """The entry point group that such plugins stand in."""
        return {Family: FAMILIES, CostModule: COSTS}[self.kind]


def subject(kind: type[Plugin], plugin: str | Plugin, name: str, examples: tuple[Json, ...] = ()) -> Subject[Plugin]:
    """What was asked for; raises `TypeError` for a value without a name."""
    if isinstance(plugin, str):
        return Subject(kind, plugin, None, examples)
    if not isinstance(plugin, kind) or not name:
        message = f'give the name of an entry point, or a {kind.__name__} and name="..."; found {plugin!r}'
        raise TypeError(message)
    return Subject(kind, name, plugin, examples)


def found(one: Subject[Any]) -> Any:  # noqa: ANN401 - a plugin of the subject's kind
    """The plugin; raises `PluginError` for one that is not installed or cannot be used."""
    if one.given is not None:
        return one.given
    (*entries,) = entry_points(group=one.group, name=one.name)
    if not entries:
        installed = ", ".join(sorted(entry.name for entry in entry_points(group=one.group)))
        message = f"no entry point of this name is installed in {one.group}; there are {installed}"
        raise PluginError(message)
    return plugins(one.group, one.kind)[one.name]


def reference(one: Subject[Any]) -> Mapping[str, Any] | None:
    """Where another process finds the plugin, as JSON; None for a value that is no global of any module."""
    place: dict[str, str] = {}
    if one.given is not None:
        for name, module in list(sys.modules.items()):
            for attribute, value in list(getattr(module, "__dict__", {}).items()):
                if value is one.given:
                    place = {"module": name, "file": getattr(module, "__file__", "") or "", "attribute": attribute}
        if not place:
            return None
    return {"kind": one.kind.__name__, "name": one.name, "examples": one.examples, **place}
