"""`POST /v1/hole-schedules`: every hole of a plate and the parts of its order, by Accept. It shows no money."""

import asyncio
from collections.abc import Iterator
from importlib.metadata import version
from typing import Annotated, Final
from zlib import ZLIB_RUNTIME_VERSION

from litestar import post
from litestar.response import Stream
from litestar.types import ControllerRouterHandler
from msgspec import Meta, Struct

from tallyplate.documents.drawings.sheet import MOST_HOLES
from tallyplate.documents.measures import MEASURES, UnitName
from tallyplate.documents.schedules.schedule import schedule_json
from tallyplate.documents.schedules.sheets import TableName, all_tables, table
from tallyplate.documents.streams import csv_pieces
from tallyplate.documents.workbook import xlsx_pieces
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.http.conditional import hold
from tallyplate.http.negotiation import negotiated
from tallyplate.http.shop_documents import Document, asked, cannot_be_made, document
from tallyplate.installation import Installation
from tallyplate.reload import Current

KEY: Final = "schedule"
CSV: Final = "text/csv"
XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
OFFERED: Final = (JSON, CSV, XLSX)


class ScheduleOptions(Struct, frozen=True, forbid_unknown_fields=True):
    """How a hole schedule shall look. CSV holds one `table`; JSON and XLSX hold all."""

    unit: Annotated[UnitName, Meta(title="Unit of lengths")] = "mm"
    table: Annotated[TableName, Meta(title="Table", description="The one that CSV holds.")] = "holes"


def handlers(current: Current, most_holes: int = MOST_HOLES) -> list[ControllerRouterHandler]:
    """The route, around the installation in force when a request comes."""

    @post("/v1/hole-schedules", status_code=200)
    async def hole_schedules(request: AnyRequest) -> Stream:
        """List the holes of a plate."""
        body = await json_body(request)
        media_type = negotiated(request.headers.getall("accept", []), OFFERED)
        made = await asyncio.to_thread(listed, body, current.installation, media_type, most_holes)
        hold(request, made.headers["etag"])
        return made.answer()

    return [hole_schedules]


def listed(body: bytes, installation: Installation, media_type: str, most_holes: int = MOST_HOLES) -> Document:
    """The hole schedule of a request."""
    made, options = asked(body, installation, KEY, ScheduleOptions, most_holes)
    what = (made.build, made.shop, made.inquiry.quantity)
    services = made.inquiry.services
    measure, name, by = MEASURES[options.unit], "hole-schedule", f"tallyplate {version('tallyplate')}"
    pieces: Iterator[bytes]
    if media_type == CSV:
        pieces, name = csv_pieces(table(options.table, *what, measure, services)), options.table
    elif media_type == XLSX:
        pieces, by = xlsx_pieces(all_tables(*what, measure, services)), f"{by} zlib {ZLIB_RUNTIME_VERSION}"
    else:
        pieces = schedule_json(*what, made.as_of, measure, cannot_be_made(made), services)
    return document(made, name, media_type, options, pieces, by)
