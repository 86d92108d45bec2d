"""A chart as tests look at it: parsed, with its texts, its bars, and how wide a text may come out."""

from typing import Final
from xml.etree.ElementTree import Element, fromstring

from tallyplate.documents.texts import width

SVG: Final = "{http://www.w3.org/2000/svg}"

WIDE: Final = 0.62
"""Mean width of a sign over its size in a wide typeface, measured once on mixed names and figures; no source."""


def parsed(chart: str | bytes) -> Element:
    return fromstring(chart)  # noqa: S314 - it was made here


def texts(chart: str) -> list[str]:
    """What is written, text by text; a note belongs to its name."""
    return [
        " ".join(part.strip() for part in one.itertext() if part.strip()) for one in parsed(chart).iter(f"{SVG}text")
    ]


def bars(chart: str, fill: str | None = None) -> list[tuple[float, float, float]]:
    """Left, right and top of each bar below the legend, of one colour where that is given."""
    return [
        (float(one.attrib["x"]), float(one.attrib["x"]) + float(one.attrib["width"]), float(one.attrib["y"]))
        for one in parsed(chart).iter(f"{SVG}rect")
        if float(one.attrib["y"]) > 70 and fill in {None, one.get("fill"), one.get("stroke")}
    ]


def reaches(chart: str) -> list[tuple[float, float, str]]:
    """Where each text begins and ends across the page, in a wide typeface."""
    found = []
    for one in parsed(chart).iter(f"{SVG}text"):
        said = "".join(part.strip() for part in one.itertext())
        long = WIDE * float(one.get("font-size", "13")) * width(said) + (8 if len(one) else 0)
        x, anchor = float(one.attrib["x"]), one.get("text-anchor", "start")
        left = x - {"start": 0.0, "middle": long / 2, "end": long}[anchor]
        found.append((left, left + long, said))
    return found
