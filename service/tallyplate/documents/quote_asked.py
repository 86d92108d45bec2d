"""A customer's answers in words: every field of a request that was given, however it is nested.

Fields that a trade has a word for are told by it; any other, such as one of a plugin's own, by its name.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, Final

from tallyplate.units import listed

Fact = tuple[str, str]
Length = Callable[[str], str]
"""Writes a text that is a length as the document does, and leaves every other as it is."""

SIZES: Final = ("length", "width", "thickness")

SURFACES: Final = {"t_slots": "T-slots", "tapped_grid": "tapped grid"}
LOCATED: Final = {
    "pins": "located by pins",
    "retractable_pins": "located by retractable pins",
    "keys": "located by keys",
    "none": "not located",
}

VALUES: Final[Mapping[str, Mapping[str, str]]] = {
    "surface": SURFACES,
    "locate": LOCATED,
    "arrangement": {
        "alternating": "alternating (combination and tapped holes in turn)",
        "combination": "combination (every hole locates and clamps)",
        "separate": "separate (locating and tapped holes each on a lattice)",
    },
    "laid_from": {
        "margin": "laid from the lower left margin",
        "shared": "laid so that both sides share what is left over",
        "centre": "laid from a hole on the centre",
        "table": "laid over the slots or holes of the machine table",
    },
    "made_from": {"cheaper": "stock or a casting, whichever costs less"},
    "kind": {"holding": "counterbored to hold the plate"},
}
"""Words of choices whose name alone says little."""

SWITCHES: Final = {
    "bushings": ("with hardened bushings", "without bushings"),
    "thread_inserts": ("with wire thread inserts", "without thread inserts"),
    "staggered": ("every second row shifted by half a pitch", "rows not staggered"),
}

PHRASES: Final = {
    "arrangement": "{}",
    "at": "at {}",
    "centre": "about {}",
    "circle": "on a circle of \u00d8 {}",
    "columns_left_out": "columns left out: {}",
    "corner": "lower left corner at {}",
    "count": "{} holes",
    "depth": "{} deep",
    "diameter": "\u00d8 {}",
    "edges": "coordinates along {}",
    "end": "to {}",
    "face": "milled from the {}",
    "kind": "{}",
    "laid_from": "{}",
    "locate": "{}",
    "locating": "locating lattice ({})",
    "margin": "margin of at least {}",
    "origin": "lower left hole at {}",
    "outline": "corners at {}",
    "pattern": "pattern: {}",
    "pitch_across": "pitch along the width {}",
    "rows_left_out": "rows left out: {}",
    "slot_spacing": "slots {} apart",
    "slot_width": "slots {} wide",
    "start": "from {}",
    "start_angle": "the first at {}\u00b0",
    "surface": "{}",
    "tapped": "tapped lattice ({})",
    "text": "engraved text: {}",
    "text_side": "engraved text along {}",
    "tolerance": "size tolerance {}",
}
"""How a field of another is told; the rest by name and value."""

FIRST: Final = (
    "count",
    "kind",
    "arrangement",
    "screw",
    "pitch",
    "pitch_across",
    "margin",
    "diameter",
    "circle",
    "depth",
)
"""What is told of an object before the rest, in this order."""

TITLES: Final = {
    "depth": "Depth between faces",
    "face_width": "Width of a face",
    "faces": "Working faces",
    "height": "Height of a face",
    "holes": "Holes added",
    "bolt_circles": "Bolt circle",
    "lifting_screw": "Lifting thread",
    "material_supplied": "Material supplied by the customer",
}

EACH: Final = {"zones": "Zone {}", "patterns": "Pattern of face {}"}
"""Titles of what is told by its number."""

FEATURES: Final = {"hole": "Placed holes", "cut_out": "Cut-out", "keep_out": "Kept free of holes"}

MIDDLE: Final = {"bore": "at", "pocket": "at", "cut_out": "at", "keep_out": "at", "bolt_circle": "centre"}
"""The place of each feature that stands in the middle of the plate where none is said."""

THROUGH: Final = {"slot", "hole", "bolt_circle"}
"""Features that go through the plate where no depth is said."""

AS_GIVEN: Final = {"text", "screw", "name", "material"}
"""Texts in which nothing is an underscore or a length by chance."""


def stated(plate: Mapping[str, Any], told: Iterable[str], length: Length) -> Iterator[Fact]:
    """Every field of a plate but those told elsewhere."""
    rest = {name: value for name, value in plate.items() if name not in {*told, "family"}}
    sizes = _sizes(rest)
    if sizes:
        yield "Size", _box(sizes, length)
    for name, value in rest.items():
        if name in sizes:
            continue
        if isinstance(value, list) and not all(isinstance(one, str | int) for one in value):
            yield from _one_by_one(name, value, length)
        elif value not in ([], None):
            yield title(name), words(name, value, length)


def answer(pointer: str, value: str | int | bool | list[str], length: Length = str) -> Fact:
    """An assumed answer: its place in the request and its value, in words."""
    *before, last = [step for step in pointer.split("/")[1:] if step != "plate"] or [pointer]
    places = _places(before)
    if before and before[-2:-1] != ["plates"]:
        return _capital(", ".join(places)), phrase(last, value, length)
    named = [*places, title(last)[:1].lower() + title(last)[1:]]
    return _capital(", ".join(named)), words(last, value, length)


def title(name: str) -> str:
    """The title of a field of a plate."""
    return TITLES.get(name, _capital(name.replace("_", " ")))


def phrase(name: str, value: Any, length: Length) -> str:  # noqa: ANN401 - JSON
    """A field of another field, in words that need no title."""
    said, plain = words(name, value, length), name.replace("_", " ")
    if name == "edges" and not value:
        return "no coordinates"
    if isinstance(value, bool):
        return said if name in SWITCHES else f"{plain}: {said}"
    return PHRASES.get(name, f"{plain} {{}}").format(said)


def words(name: str, value: Any, length: Length) -> str:  # noqa: ANN401 - JSON
    """A value in words."""
    if isinstance(value, bool):
        return SWITCHES.get(name, ("yes", "no"))[not value]
    if isinstance(value, Mapping):
        return _fields(value, length)
    if isinstance(value, list):
        return listed([words(name, one, length) for one in value]) if value else "none"
    if not isinstance(value, str):
        return f"{value:g}" if isinstance(value, float) else str(value)
    if name in AS_GIVEN:
        return value
    return VALUES.get(name, {}).get(value) or length(value).replace("_", " ")


def _fields(value: Mapping[str, Any], length: Length) -> str:
    """The fields of an object: a place by its coordinates, sizes together, the rest as phrases."""
    if value.keys() <= {"x", "y"}:
        return _together([f"{axis} {length(str(at))}" for axis, at in value.items()], "({})", ", ")
    sizes = _sizes(value)
    left = [(name, one) for name, one in value.items() if name not in sizes and one not in ([], None)]
    left.sort(key=lambda field: FIRST.index(field[0]) if field[0] in FIRST else len(FIRST))
    return ", ".join([*([_box(sizes, length)] if sizes else []), *(phrase(*one, length) for one in left)])


def _sizes(value: Mapping[str, Any]) -> dict[str, Any]:
    """The sides of a box, where there are two at least."""
    return {name: value[name] for name in SIZES if name in value} if SIZES[0] in value and SIZES[1] in value else {}


def _box(sizes: Mapping[str, Any], length: Length) -> str:
    return _together([length(str(side)) for side in sizes.values()], "{}", " x ")


def _together(lengths: Iterable[str], form: str, between: str) -> str:
    """Lengths with their unit, which is said once where it is the same."""
    every = [*lengths]
    figures, units = zip(*((figure, unit) for figure, _, unit in (one.rpartition(" ") for one in every)), strict=True)
    alike = len({*units}) == 1 and all(figures)
    return f"{form.format(between.join(figures))} {units[0]}" if alike else form.format(between.join(every))


def _one_by_one(name: str, each: list[Any], length: Length) -> Iterator[Fact]:
    for number, one in enumerate(each, start=1):
        if name == "features" and "feature" in one:
            yield _feature(one, length)
        else:
            about = {"diameter": "circle"} if name == "bolt_circles" else {}
            said = {about.get(field, field): inner for field, inner in one.items()} if one else "none"
            yield EACH.get(name, title(name)).format(number), words(name, said, length)


def _feature(one: Mapping[str, Any], length: Length) -> Fact:
    kind = str(one["feature"])
    place, given = MIDDLE.get(kind), {name: value for name, value in one.items() if name != "feature"}
    said = [words("feature", given, length)]
    if kind in THROUGH and "depth" not in one:
        said.append("through")
    if place and not {place, "outline"} & one.keys():
        said.append(f"{'about' if place == 'centre' else 'in'} the middle of the plate")
    return FEATURES.get(kind, _capital(kind.replace("_", " "))), ", ".join(filter(None, said))


def _places(steps: list[str]) -> list[str]:
    """The fields on the way to an answer; one of many by its number."""
    places: list[str] = []
    for step in steps:
        if step.isdigit() and places:
            places[-1] = f"{places[-1].removesuffix('s')} {int(step) + 1}"
        else:
            places.append(step.replace("_", " "))
    return places


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
