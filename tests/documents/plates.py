"""Plates of every make with their documents: what a test draws and lists."""

import json
from collections.abc import Mapping
from datetime import date
from functools import cache
from typing import Any, Final

from tallyplate.asked import Made
from tallyplate.documents.drawings.as_dxf import dxf_pieces
from tallyplate.documents.drawings.as_svg import svg_pieces
from tallyplate.documents.drawings.paper import DrawingOptions
from tallyplate.documents.drawings.sheet import Sheet, sheet
from tallyplate.documents.measures import MEASURES
from tallyplate.documents.schedules.schedule import schedule_json
from tests.plates import MINIMAL, installation, request

AS_OF: Final = "2026-03-02"
BASES: Final[dict[str, dict[str, Any]]] = {
    "alternating": request(),
    "usual": MINIMAL,
    "separate": request(
        {
            "/plate/pattern": {
                "arrangement": "separate",
                "locating": {"pitch": "50 mm"},
                "tapped": {"pitch": "60 mm", "margin": "40 mm"},
                "screw": "M12",
            }
        }
    ),
    "inserted": request({"/plate/pattern/thread_inserts": True, "/plate/mounting/locate": "retractable_pins"}),
    "keyed": request({"/plate/mounting/locate": "keys", "/plate/marking/edges": ["left", "right", "top", "bottom"]}),
    "bare": request({"/plate/mounting": {"surface": "none"}, "/plate/marking/edges": []}),
    "round": {
        "plate": {
            "family": "round",
            "diameter": "400 mm",
            "material": "steel-1018",
            "centre_bore": "50 mm",
            "bolt_circles": [
                {"diameter": "300 mm", "count": 6, "screw": "M12", "kind": "holding"},
                {"diameter": "200 mm", "count": 4, "screw": "M10"},
            ],
        },
        "as_of": AS_OF,
    },
    "tombstone": {
        "plate": {
            "family": "tombstone",
            "faces": 4,
            "face_width": "250 mm",
            "height": "450 mm",
            "material": "al-6061-t6",
        },
        "as_of": AS_OF,
    },
}
"""Requests for plates of every family, arrangement and mounting."""


@cache
def made(name: str) -> Made:
    """What the shop would make of a named request."""
    return installation().build(BASES[name])


def drawn(one: Made, **options: Any) -> Sheet:
    """Its drawing."""
    return sheet(one.build, one.shop, one.inquiry.quantity, one.as_of, DrawingOptions(**options))


def svg(one: Made, **options: Any) -> str:
    """Its drawing as SVG."""
    return b"".join(svg_pieces(drawn(one, **options))).decode()


def dxf(one: Made, **options: Any) -> str:
    """Its drawing as DXF."""
    return b"".join(dxf_pieces(drawn(one, **options))).decode()


def schedule(one: Made, unit: str = "mm") -> dict[str, Any]:
    """Its hole schedule as a program reads it."""
    pieces = schedule_json(one.build, one.shop, one.inquiry.quantity, one.as_of, MEASURES[unit])
    read: dict[str, Any] = json.loads(b"".join(pieces))
    return read


def places(listed: Mapping[str, Any]) -> dict[tuple[str, str], tuple[float, float]]:
    """Centres by face and name; no two holes have both in common."""
    found = {(hole["face"], hole["name"]): (float(hole["x"]), float(hole["y"])) for hole in listed["holes"]}
    assert len(found) == len(listed["holes"])
    return found


def large(count: int) -> Made:
    """An invented plate of about so many holes, on the largest blank."""
    columns = round((count * 3590 / 1490) ** 0.5)
    changes = {
        "/plate/length": "3590 mm",
        "/plate/width": "1490 mm",
        "/plate/pattern": {"pitch": f"{3576 / columns:.4f} mm", "margin": "7 mm", "screw": "M10"},
        "/plate/mounting": {"surface": "none"},
    }
    return installation().build(request(changes), date(2026, 3, 2))
