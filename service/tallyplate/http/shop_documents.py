"""What the calls have in common that answer with a document to build from: the request, its names, and its pieces."""

from collections.abc import Iterator
from functools import partial
from typing import Any, TypeVar

import msgspec
from litestar.response import Stream
from msgspec import Struct

from tallyplate.asked import Made
from tallyplate.contract import together
from tallyplate.decoding import convert, length_hook
from tallyplate.documents.drawings.sheet import MOST_HOLES, limited
from tallyplate.findings import Severity
from tallyplate.http.conditional import tag_of
from tallyplate.http.negotiation import headers
from tallyplate.inquiry import decode
from tallyplate.installation import Installation

Options = TypeVar("Options", bound=Struct)

SUFFIXES = {
    "image/svg+xml": "svg",
    "image/vnd.dxf": "dxf",
    "application/json": "json",
    "text/csv": "csv",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet": "xlsx",
}
"""Media types of documents, with what files of theirs are called; image/vnd.dxf is the name IANA has for DXF."""


class Document(Struct, frozen=True):
    """A document: its media type, the headers that go with it, and its pieces."""

    media_type: str
    headers: dict[str, str]
    pieces: Iterator[bytes]

    def answer(self) -> Stream:
        """As an answer that is sent while it is made."""
        return Stream(self.pieces, media_type=self.media_type, headers=self.headers)


def request_type(price_request: type[Struct], name: str, key: str, options: type[Struct], said: str) -> type[Struct]:
    """A price request with options beside it, for its schema."""
    fields: list[Any] = [(key, options, options())]
    return msgspec.defstruct(
        name, fields, bases=(price_request,), namespace={"__doc__": said}, kw_only=True, forbid_unknown_fields=True
    )


def asked(
    body: bytes, installation: Installation, key: str, kind: type[Options], most_holes: int = MOST_HOLES
) -> tuple[Made, Options]:
    """What is to be shown, and how; refuses every fault of both at once, and plates with too many holes."""
    request = decode(body)
    wanted: object = {}
    if isinstance(request, dict):
        wanted = request.pop(key, {})
    made, options = together(
        partial(installation.build, request), partial(convert, wanted, kind, length_hook, f"/{key}")
    )
    limited(made.build, most_holes)
    return made, options


def document(made: Made, name: str, media_type: str, options: Struct, pieces: Iterator[bytes], by: str) -> Document:
    """A document of a plate, by a name of its own.

    Its tag is a digest of all that it is made from, and of the versions of what writes it: equal tags, equal bytes.
    """
    order = made.inquiry.quantity, made.as_of, made.shop.digest, cannot_be_made(made)
    told = msgspec.json.encode((made.build, *order, options, media_type, by), enc_hook=_plain)
    shown = media_type in {"image/svg+xml", "application/json"}
    tag = tag_of(told)
    return Document(media_type, headers(f"{stem(made)}-{name}", SUFFIXES[media_type], tag, inline=shown), pieces)


def _plain(value: object) -> float:
    """A length without the text that it was given as, so that the spelling of a request does not count."""
    if isinstance(value, float):
        return float(value)
    raise NotImplementedError(type(value))


def cannot_be_made(made: Made) -> tuple[str, ...]:
    """The codes of the findings for which a plate cannot be made as it stands."""
    return tuple(dict.fromkeys(one.code for one in made.findings if one.severity is Severity.ERROR))


def stem(made: Made) -> str:
    """A file's name for a plate: its size in mm and its material; and a warning where it cannot be made."""
    body = made.build.body
    sides = (body.length, body.thickness) if body.disc else (body.length, body.width, body.thickness)
    size = "x".join(f"{side:.1f}".removesuffix(".0") for side in sides)
    warning = "not-for-manufacture-" if cannot_be_made(made) else ""
    return f"{warning}plate-{size}-{body.material}"
