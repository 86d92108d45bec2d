"""A plugin's sections of the rate card and of the shop data, as files state them: its own examples, or those in use."""

from typing import Any, Final

from tallyplate.contract import CostModule, Family
from tallyplate.discovery import demo_data
from tallyplate.rates.load import resolved_folder
from tallyplate.rates.toml_text import document

CENTERS: Final = "work_centers"

PARTS: Final = {"rate-card": "rate_cards", "shop-data": "shop_data"}
"""By kind of file: the folder that such files stand in."""


def example(name: str, plugin: Family | CostModule, kind: str | None = None) -> str:
    """What to paste into a rate card and into shop data for a plugin, each under a comment; or one of the two."""
    said = [_said(part, text) for part in PARTS if kind in {part, None} and (text := _stated(part, name, plugin))]
    return "\n".join(said) or f"# {name} has no section of its own.\n"


def _stated(part: str, name: str, plugin: Family | CostModule) -> str:
    """The plugin's own example; without one, its section of the demonstration's newest file, and its work centres."""
    module = plugin if isinstance(plugin, CostModule) else None
    own = plugin.example_figures if part == "shop-data" else module.example_rates if module else ""
    if own:
        return own.strip("\n") + "\n"
    files = resolved_folder(demo_data() / PARTS[part]).values()
    data: dict[str, Any] = max(files, key=lambda one: one.data["effective_from"]).data
    centers = {center: data[CENTERS][center] for center in (module.work_centers if module else ())}
    found = {key: table for key, table in ((CENTERS, centers), (name, data.get(name))) if table}
    return document(found, {}) if found else ""


def _said(part: str, text: str) -> str:
    merged = f" Where [{CENTERS}] stands already, its lines go below that header." * (f"[{CENTERS}" in text)
    return f"# For the {part.replace('-', ' ')}.{merged}\n\n{text}"
