"""`POST /v1/hole-schedules`: every hole of a plate and the parts of its order, by Accept. It shows no money."""

import asyncio
from collections.abc import Iterator
from importlib.metadata import version
from importlib.util import find_spec
from typing import Annotated, Final

from litestar import post
from litestar.response import Stream
from litestar.types import ControllerRouterHandler
from msgspec import Meta, Struct

from tallyplate.documents.measures import MEASURES, UnitName
from tallyplate.documents.schedules.schedule import schedule_json
from tallyplate.documents.schedules.sheets import TableName, all_tables, table
from tallyplate.documents.streams import csv_pieces, xlsx_pieces
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.http.negotiation import negotiated
from tallyplate.http.shop_documents import Document, asked, cannot_be_made, document
from tallyplate.installation import Installation
from tallyplate.reload import Current

KEY: Final = "schedule"
CSV: Final = "text/csv"
XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


class ScheduleOptions(Struct, frozen=True, forbid_unknown_fields=True):
    """How a hole schedule shall look. CSV holds one `table`; JSON and XLSX hold all."""

    unit: Annotated[UnitName, Meta(title="Unit of lengths")] = "mm"
    table: Annotated[TableName, Meta(title="Table", description="The one that CSV holds.")] = "holes"


def offered() -> tuple[str, ...]:
    """The formats of this service: XLSX where the part of it that writes it is installed."""
    return (JSON, CSV, XLSX) if find_spec("openpyxl") else (JSON, CSV)


def handlers(current: Current) -> list[ControllerRouterHandler]:
    """The route, around the installation in force when a request comes."""

    @post("/v1/hole-schedules", status_code=200)
    async def hole_schedules(request: AnyRequest) -> Stream:
        """List the holes of a plate."""
        body = await json_body(request)
        media_type = negotiated(request.headers.getall("accept", []), offered())
        made = await asyncio.to_thread(listed, body, current.installation, media_type)
        return made.answer()

    return [hole_schedules]


def listed(body: bytes, installation: Installation, media_type: str) -> Document:
    """The hole schedule of a request."""
    made, options = asked(body, installation, KEY, ScheduleOptions)
    what = (made.build, made.shop, made.inquiry.quantity)
    measure, name, by = MEASURES[options.unit], "hole-schedule", f"tallyplate {version('tallyplate')}"
    pieces: Iterator[bytes]
    if media_type == CSV:
        pieces, name = csv_pieces(table(options.table, *what, measure)), options.table
    elif media_type == XLSX:
        pieces, by = xlsx_pieces(all_tables(*what, measure)), f"{by} openpyxl {version('openpyxl')}"
    else:
        pieces = schedule_json(*what, made.as_of, measure, cannot_be_made(made))
    return document(made, name, media_type, options, pieces, by)
