"""`tallyplate plugin`: start a plugin, list what is installed, print the sections that a plugin needs."""

import argparse
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path
from typing import Any, Final

from rich.console import Console

from tallyplate import scaffold
from tallyplate.cli.portfolios import grid
from tallyplate.cli.sections import PARTS, example
from tallyplate.contract import CostModule, Family
from tallyplate.discovery import COSTS, FAMILIES, PluginError, loaded, plugins
from tallyplate.rates.heads import CardHead, ShopHead

Load = Callable[[EntryPoint], Family | CostModule]

GROUPS: Final[dict[str, tuple[str, Load]]] = {
    "family": (FAMILIES, lambda entry: loaded(entry, Family)),
    "cost": (COSTS, lambda entry: loaded(entry, CostModule)),
}
"""By kind: its entry point group, and how a plugin of it is loaded."""

RESERVED: Final = frozenset({*CardHead.__struct_fields__, *ShopHead.__struct_fields__, "inherits"})
"""Keys that files state for themselves, and so no names of sections."""


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the command and its own commands to the parser."""
    plugin = commands.add_parser("plugin", help="start a plate family or cost module of your own, or list them")
    inner = plugin.add_subparsers(required=True, metavar="COMMAND")

    new = inner.add_parser("new", help="write a package that installs, prices and tests itself, to start from")
    new.add_argument("name", metavar="NAME", type=_name, help="such as tray or serial_plates")
    new.add_argument("--kind", choices=scaffold.KINDS, required=True, help="a plate family, or a cost module")
    new.add_argument("--into", type=Path, default=Path(), metavar="FOLDER", help="where (the current folder)")
    new.set_defaults(run=_new)

    inner.add_parser("list", help="list the plugins that are installed").set_defaults(run=_list)

    shown = inner.add_parser("example", help="print a plugin's sections of the rate card and the shop data, to paste")
    shown.add_argument("name", metavar="NAME")
    shown.add_argument("--kind", choices=PARTS, help="only that part, to add to a file")
    shown.set_defaults(run=_example)


def _name(text: str) -> str:
    if not scaffold.NAME.fullmatch(text) or len(text) > scaffold.LONGEST:
        message = (
            f"{text[:80]!r} is no name for a plugin; accepted: at most {scaffold.LONGEST} small letters, digits and "
            "single underscores, a letter first, such as 'serial_plates'"
        )
        raise argparse.ArgumentTypeError(message)
    return text


def _new(parsed: argparse.Namespace) -> int:
    name = parsed.name
    taken = next((entry for _, _, entry in _installed() if entry.name == name), None)
    if taken:
        message = f"{name!r} is the name of an installed plugin, of {_distribution(taken)}; accepted: another name"
        raise PluginError(message)
    if name in RESERVED:
        message = f"{name!r} is a key that every rate card or all shop data state; accepted: another name"
        raise PluginError(message)
    folder = parsed.into / scaffold.folder(name)
    folder.mkdir(parents=True)
    for path, text in scaffold.rendered(name, parsed.kind).items():
        file = folder / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, "utf-8")
        print(file)
    print(f"next: pip install --editable {folder}")
    return 0


def _list(_: argparse.Namespace) -> int:
    rows, problems = [], []
    for kind, load, entry in _installed():
        try:
            contract = str(load(entry).contract)
        except PluginError as error:
            contract = "unusable"
            problems.append(str(error))
        rows.append((entry.name, kind, _distribution(entry), entry.dist.version if entry.dist else "", contract))
    names = Counter(name for name, *_ in rows)
    problems += [f"{count} plugins are named {name!r}; accepted: one" for name, count in names.items() if count > 1]
    width = None if sys.stdout.isatty() else 200
    Console(width=width).print(grid(("name", "kind", "distribution", "version", "contract"), (), rows))
    for problem in problems:
        print(problem, file=sys.stderr)
    return 1 if problems else 0


def _example(parsed: argparse.Namespace) -> int:
    installed: dict[str, Family | CostModule] = {**plugins(FAMILIES, Family), **plugins(COSTS, CostModule)}
    if parsed.name not in installed:
        message = f"{parsed.name[:80]!r} is no installed plugin; accepted: {', '.join(sorted(installed))}"
        raise PluginError(message)
    print(example(parsed.name, installed[parsed.name], parsed.kind), end="")
    return 0


def _installed() -> Iterator[tuple[str, Load, EntryPoint]]:
    """Every plugin by kind and name, whether or not it can be used."""
    for kind, (group, load) in GROUPS.items():
        for entry in sorted(entry_points(group=group), key=lambda entry: entry.name):
            yield kind, load, entry


def _distribution(entry: EntryPoint) -> str:
    return entry.dist.name if entry.dist else "an unknown distribution"
