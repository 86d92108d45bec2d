"""Drawing as SVG: a page as wide as a phone, legible in light and dark, the same bytes for the same drawing."""

from typing import Final
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from tallyplate.documents.texts import printable

WIDTH: Final = 480
"""The page; a phone shows it at three quarters, and the type is chosen to stand that."""
MARGIN: Final = 16

UP: Final = "#bd5b22"
DOWN: Final = "#3878b8"
"""A warm and a cool colour, told apart by the colour-blind, with a contrast of 4:1 to white and to near black."""

STYLE: Final = "svg:root{color-scheme:light dark;color:CanvasText;background:Canvas;max-width:100%;height:auto}"
"""For a file of its own. Inside a page the root is another, and the drawing takes the page's colours."""


def page(title: str, description: str, height: float) -> Element:
    """An empty page with a name for those who hear it."""
    svg = Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {WIDTH} {number(height)}",
            "width": str(WIDTH),
            "height": number(height),
            "role": "img",
            "font-family": "system-ui, sans-serif",
            "font-size": "13",
            "fill": "currentColor",
        },
    )
    SubElement(svg, "title").text = printable(title)
    SubElement(svg, "desc").text = printable(description)
    SubElement(svg, "style").text = STYLE
    return svg


def write(parent: Element, x: float, y: float, text: str, **attributes: str) -> Element:
    """A text with its baseline at y."""
    place = SubElement(parent, "text", {"x": number(x), "y": number(y), **_dashed(attributes)})
    place.text = printable(text)
    return place


def aside(text: Element, words: str, **attributes: str) -> None:
    """More words on the line of a text."""
    SubElement(text, "tspan", {"dx": "8", **_dashed(attributes)}).text = printable(words)


def box(parent: Element, x: tuple[float, float], y: float, height: float, **attributes: str) -> Element:
    """A bar between two places, whichever is the left one; never too narrow to be seen."""
    left, right = sorted(x)
    size = {"x": number(left), "y": number(y), "width": number(max(right - left, 1)), "height": number(height)}
    return SubElement(parent, "rect", {**size, **_dashed(attributes)})


def line(parent: Element, start: tuple[float, float], end: tuple[float, float], **attributes: str) -> Element:
    """A thin line."""
    ends = {"x1": number(start[0]), "y1": number(start[1]), "x2": number(end[0]), "y2": number(end[1])}
    return SubElement(parent, "line", {**ends, "stroke": "currentColor", **_dashed(attributes)})


def dot(parent: Element, at: tuple[float, float], radius: float, **attributes: str) -> Element:
    """A round mark about a place."""
    place = {"cx": number(at[0]), "cy": number(at[1]), "r": number(radius)}
    return SubElement(parent, "circle", {**place, **_dashed(attributes)})


def serialized(svg: Element) -> str:
    """The drawing as text."""
    indent(svg)
    return tostring(svg, encoding="unicode") + "\n"


def number(value: float) -> str:
    """A length to a tenth, without a trailing zero and without a minus before nothing."""
    return f"{value:z.1f}".removesuffix(".0")


def _dashed(attributes: dict[str, str]) -> dict[str, str]:
    """Attribute names as SVG spells them."""
    return {name.replace("_", "-"): value for name, value in attributes.items()}
