"""`POST /v1/drawings`: the drawing of a plate as SVG or DXF, by Accept. It shows no money."""

import asyncio
from importlib.metadata import version
from importlib.util import find_spec
from typing import Final

from litestar import post
from litestar.response import Stream
from litestar.types import ControllerRouterHandler

from tallyplate.documents.drawings.as_dxf import dxf_pieces
from tallyplate.documents.drawings.as_svg import svg_pieces
from tallyplate.documents.drawings.paper import DrawingOptions
from tallyplate.documents.drawings.sheet import MOST_HOLES, sheet
from tallyplate.http.bodies import AnyRequest, json_body
from tallyplate.http.conditional import hold
from tallyplate.http.negotiation import negotiated
from tallyplate.http.shop_documents import Document, asked, cannot_be_made, document
from tallyplate.installation import Installation
from tallyplate.reload import Current

KEY: Final = "drawing"
SVG: Final = "image/svg+xml"
DXF: Final = "image/vnd.dxf"

SCRIPTLESS: Final = {"content-security-policy": "default-src 'none'; sandbox"}
"""A drawing is a picture and nothing else, also where a browser shows it by itself."""


def offered() -> tuple[str, ...]:
    """The formats of this service: DXF where the part of it that writes it is installed."""
    return (SVG, DXF) if find_spec("ezdxf") else (SVG,)


def handlers(current: Current, most_holes: int = MOST_HOLES) -> list[ControllerRouterHandler]:
    """The route, around the installation in force when a request comes."""

    @post("/v1/drawings", status_code=200)
    async def drawings(request: AnyRequest) -> Stream:
        """Draw a plate."""
        body = await json_body(request)
        media_type = negotiated(request.headers.getall("accept", []), offered())
        made = await asyncio.to_thread(drawn, body, current.installation, media_type, most_holes)
        hold(request, made.headers["etag"])
        return made.answer()

    return [drawings]


def drawn(body: bytes, installation: Installation, media_type: str, most_holes: int = MOST_HOLES) -> Document:
    """The drawing of a request."""
    made, options = asked(body, installation, KEY, DrawingOptions, most_holes)
    drawing = sheet(made.build, made.shop, made.inquiry.quantity, made.as_of, options, cannot_be_made(made))
    if media_type == DXF:
        return document(made, KEY, DXF, options, dxf_pieces(drawing), _by("ezdxf"))
    found = document(made, KEY, SVG, options, svg_pieces(drawing), _by())
    found.headers.update(SCRIPTLESS)
    return found


def _by(*libraries: str) -> str:
    """The versions of what writes a drawing."""
    return " ".join(f"{name} {version(name)}" for name in ("tallyplate", *libraries))
