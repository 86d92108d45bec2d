"""What an order asks for besides its plates, in words."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any, Final

from tallyplate.documents.quote_asked import Fact, title, words
from tallyplate.documents.quote_conventions import Writing
from tallyplate.documents.quote_words import plural
from tallyplate.units import listed

NOT_ASKED: Final = ("none", "standard", False, None)

REPORTS: Final = {
    "summary": "a sheet for each plate, with its sizes, flatness and holes as measured in the making",
    "every_hole": "every hole of the pattern measured, each with an entry of its own",
}
SPARES: Final = {"bushings": "bushing", "plugs": "hole plug", "screws": "clamping screw"}

TITLES: Final = {"plugs": "Hole plugs", "matched": "Matched plates", "spares": "Spare parts"}

WORDS: Final = {
    ("packing", "export"): "for export: crates of heat-treated timber (ISPM 15), plates sealed against damp",
    ("plugs", "every_hole"): "one in each hole of the pattern",
    ("matched", True): "close-tolerance holes of all plates measured from a common datum",
    ("rush", True): "made ahead of other orders",
}


def services(request: Mapping[str, Any], writing: Writing) -> Iterator[Fact]:
    """The services of a request, and the day by which it is needed."""
    for name, value in request.get("services", {}).items():
        if name == "spares":
            if spares := [_spare(*one, writing) for one in _counts(value)]:
                yield TITLES[name], listed(spares)
        elif value not in NOT_ASKED:
            yield TITLES.get(name, title(name)), _said(name, value)
    if "need_by" in request:
        yield "Needed by", writing.date(date.fromisoformat(request["need_by"]))


def _said(name: str, value: Any) -> str:  # noqa: ANN401 - JSON
    if name == "material_certificate":
        return f"type {value} by EN 10204"
    if name == "inspection_report":
        return REPORTS.get(value, words(name, value, str))
    return WORDS.get((name, value), words(name, value, str))


def _counts(spares: Mapping[str, Mapping[str, int]]) -> Iterator[tuple[str, str, int]]:
    for kind, sizes in spares.items():
        for size, count in sizes.items():
            yield kind, size, count


def _spare(kind: str, size: str, count: int, writing: Writing) -> str:
    noun = SPARES.get(kind, kind.replace("_", " ").removesuffix("s"))
    return f"{writing.number(count)} {plural(count, noun)} {size}"
