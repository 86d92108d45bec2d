"""Finding plugins by their entry points, the shipped ones too; a bad one is named and stops the start."""

from importlib.metadata import EntryPoint, entry_points
from pathlib import Path
from typing import TypeVar

from tallyplate.contract import CONTRACT, CostModule, Family

FAMILIES = "tallyplate.families"
COSTS = "tallyplate.costs"
DATA = "tallyplate.data"

Plugin = TypeVar("Plugin", Family, CostModule)


class PluginError(Exception):
    """A plugin that cannot be used: named, with what is wrong."""


def plugins(group: str, kind: type[Plugin]) -> dict[str, Plugin]:
    """The plugins of an entry point group by name; raises `PluginError` naming the one that cannot be used."""
    found: dict[str, EntryPoint] = {}
    for entry in sorted(entry_points(group=group), key=lambda entry: entry.name):
        if entry.name in found:
            raise PluginError(_blame(entry, f"two plugins have this name; the other is {found[entry.name].value}"))
        found[entry.name] = entry
    return {name: loaded(entry, kind) for name, entry in found.items()}


def loaded(entry: EntryPoint, kind: type[Plugin]) -> Plugin:
    """The plugin of an entry point; raises `PluginError` naming what keeps it from being used."""
    try:
        plugin: object = entry.load()
    except (Exception, SystemExit) as error:
        raise PluginError(_blame(entry, f"cannot be imported: {type(error).__name__}: {error}")) from error
    if not isinstance(plugin, kind):
        raise PluginError(_blame(entry, f"is a {type(plugin).__name__}, not a {kind.__name__}"))
    if plugin.contract != CONTRACT:
        raise PluginError(_blame(entry, f"is written to contract {plugin.contract}; this service speaks {CONTRACT}"))
    spec = getattr(plugin, "spec", None)
    if spec is not None and spec.__struct_config__.tag != entry.name:
        raise PluginError(_blame(entry, f"its spec has the tag {spec.__struct_config__.tag!r}"))
    return plugin


def _blame(entry: EntryPoint, reason: str) -> str:
    distribution = entry.dist.name if entry.dist else "unknown distribution"
    return f"plugin {entry.name!r} ({entry.value}, {distribution}): {reason}"


def distributions() -> dict[str, str]:
    """Every distribution that a plugin comes from, with its version."""
    entries = [*entry_points(group=FAMILIES), *entry_points(group=COSTS)]
    return {entry.dist.name: entry.dist.version for entry in entries if entry.dist}


def demo_data() -> Path:
    """The folder of demonstration data that the shipped plugins bring."""
    (entry,) = entry_points(group=DATA, name="demo")
    path: Path = entry.load()
    return path
