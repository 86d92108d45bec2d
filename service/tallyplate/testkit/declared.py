"""Checks of what a plugin declares before it does anything: its name, contract, and the example sections."""

import re
from collections.abc import Iterator
from importlib.metadata import entry_points
from typing import Final

from tallyplate.contract import CONTRACT, CostModule, Family, PlateSpec, Stage
from tallyplate.discovery import COSTS, FAMILIES, PluginError
from tallyplate.rates.files import DataError
from tallyplate.rates.heads import CardHead, ShopHead
from tallyplate.testkit.check import LIST, Check
from tallyplate.testkit.documented import bare_types, figures_in_text, open_structs, undocumented
from tallyplate.testkit.trial import Trial

NAME: Final = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*\Z")


def absent(trial: Trial) -> Iterator[str]:
    """A name that finds no plugin, or one that cannot be used."""
    try:
        _ = trial.plugin
    except PluginError as error:
        yield str(error)


def other_contract(trial: Trial) -> Iterator[str]:
    """A contract that is not this one."""
    if trial.plugin.contract != CONTRACT:
        yield f"it states contract {trial.plugin.contract}; this version of tallyplate speaks contract {CONTRACT}"


def bad_name(trial: Trial) -> Iterator[str]:
    """A name of another style, or one that is taken."""
    name = trial.name
    if not NAME.match(name):
        yield f"the name {name!r} is not lower-case words joined by underscores, such as 'tray' or 'cover_plates'"
    if name in {*CardHead.__struct_fields__, *ShopHead.__struct_fields__}:
        yield f"the name {name!r} is a key that every rate card or all shop data state"
    for group in (FAMILIES, COSTS):
        for entry in entry_points(group=group, name=name):
            if group != trial.subject.group or entry.load() != trial.plugin:
                yield f"the name {name!r} is taken: {entry.value} stands by it in {group}"
    if isinstance(trial.plugin, Family) and trial.plugin.spec.__struct_config__.tag != name:
        yield f"its spec has the tag {trial.plugin.spec.__struct_config__.tag!r}, which must be the name {name!r}"


def no_words(trial: Trial) -> Iterator[str]:
    """Titles, docstrings and examples that are missing."""
    plugin = trial.plugin
    if not plugin.title and not (isinstance(plugin, CostModule) and plugin.stage is not Stage.MAKE):
        yield "it has no title"
    for struct in _structs(trial):
        yield from undocumented(struct, fields_too=issubclass(struct, PlateSpec))


def no_units(trial: Trial) -> Iterator[str]:
    """Figures whose type carries no unit, and money in the shop data."""
    for struct in _structs(trial):
        if not issubclass(struct, PlateSpec):
            yield from bare_types(struct, money=struct is getattr(trial.plugin, "rates", None))


def figures_as_text(trial: Trial) -> Iterator[str]:
    """Texts of the example sections that hold figures."""
    for sections in (trial.card.sections, trial.shop.sections):
        yield from figures_in_text(sections.get(trial.name), trial.name)


def may_change(trial: Trial) -> Iterator[str]:
    """Structs that may be changed once made, or that drop what they do not know."""
    for struct in _structs(trial):
        yield from open_structs(struct)


def no_sections(trial: Trial) -> Iterator[str]:
    """Example sections that are missing or do not load."""
    try:
        held = {"rates": trial.card.sections, "figures": trial.shop.sections}
    except (DataError, PluginError) as error:
        yield from _without_example(trial) or (str(error),)
    except Exception as error:  # noqa: BLE001 - a module's gaps are asked here, and may raise anything
        yield f"{type(error).__name__}: {error}{trial.place(error)} while its example sections were read"
    else:
        for declared, sections in held.items():
            if getattr(trial.plugin, declared, None) and trial.name not in sections:
                yield f"it declares {declared} and gives no example_{declared}"


def _without_example(trial: Trial) -> list[str]:
    return [
        f"it declares {declared} and gives no example_{declared}"
        for declared in ("rates", "figures")
        if getattr(trial.plugin, declared, None) and not getattr(trial.plugin, f"example_{declared}")
    ]


def _structs(trial: Trial) -> list[type]:
    plugin = trial.plugin
    kinds = (getattr(plugin, name, None) for name in ("spec", "rates", "figures"))
    return [kind for kind in kinds if kind is not None]


INSTALLED: Final = "installed"
SECTIONS: Final = "sections"
CHECKS: Final = (
    Check(
        INSTALLED,
        absent,
        'State it in your pyproject.toml, under the entry points of that group, as name = "package.module:VALUE", and '
        "install your package again.",
    ),
    Check(
        "contract",
        other_contract,
        "Write contract=CONTRACT, imported from tallyplate.contract, and install the tallyplate that you wrote it to.",
        (INSTALLED,),
    ),
    Check(
        "name",
        bad_name,
        "The name is the plugin's tag in JSON, its section and its lines: choose one of its own, and state the same in "
        "the entry point and, for a family, as tag of its spec.",
        ("contract",),
        most=LIST,
    ),
    Check(
        "documented",
        no_words,
        "Callers read these in the schema: give each field Annotated[..., Meta(title=..., examples=[...])], each "
        "struct a docstring, and the plugin a title.",
        (INSTALLED,),
        most=LIST,
    ),
    Check(
        "frozen",
        may_change,
        "Write class X(Struct, frozen=True, forbid_unknown_fields=True), with tuples for lists: what is shared by all "
        "prices must not change, and a misspelt key must be refused.",
        (INSTALLED,),
        most=LIST,
    ),
    Check(
        "units",
        no_units,
        "Give each figure a type that carries its unit, such as Seconds, Size or Length in figures and PerPiece or "
        "PerHour in rates; a new unit is a subclass of Figure or Rate.",
        (INSTALLED,),
        most=LIST,
    ),
    Check(
        SECTIONS,
        no_sections,
        "Give the plugin example_rates and example_figures: its sections as a rate card and shop data would state "
        "them, in TOML with their headers, together with every work centre that is new.",
        ("name", "units"),
        most=LIST,
    ),
    Check(
        "no_figures_in_text",
        figures_as_text,
        "Text is for names: a figure has a type that carries its unit, so that it is converted and checked.",
        (SECTIONS,),
        most=LIST,
    ),
)
