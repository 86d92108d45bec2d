"""The routes of the desk: `/`, and its files under `/desk`."""

from collections.abc import Mapping
from hashlib import sha256
from importlib.resources import files
from typing import Any, Final

from litestar import Request, Response, get
from litestar.exceptions import NotFoundException
from litestar.params import FromPath
from litestar.types import ControllerRouterHandler
from msgspec import Struct

AnyRequest = Request[Any, Any, Any]

PAGE: Final = "index.html"

MEDIA_TYPES: Final = {
    "html": "text/html",
    "css": "text/css",
    "js": "text/javascript",
    "svg": "image/svg+xml",
}
"""By the end of a file's name; a file of another kind is not served."""

POLICY: Final = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "connect-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)

HEADERS: Final = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    # The address of the page holds what a customer asked for.
    "referrer-policy": "no-referrer",
    # A browser keeps every file and asks whether it is still the same, so that a new version is seen at once.
    "cache-control": "no-cache",
}


class File(Struct, frozen=True):
    """One file of the page, with the tag that its bytes have."""

    content: bytes
    media_type: str
    tag: str


def handlers() -> list[ControllerRouterHandler]:
    """The routes; the files are read once."""
    found = _read()

    @get("/", sync_to_thread=False)
    def desk(request: AnyRequest) -> Response[bytes]:
        """The page."""
        return _answer(found[PAGE], request)

    @get("/desk/{name:str}", sync_to_thread=False)
    def desk_file(request: AnyRequest, name: FromPath[str]) -> Response[bytes]:
        """A file that the page loads."""
        if name not in found or name == PAGE:
            raise NotFoundException
        return _answer(found[name], request)

    return [desk, desk_file]


def _read() -> Mapping[str, File]:
    folder = files("tallyplate.desk").joinpath("static")
    found = {}
    for path in folder.iterdir():
        kind = MEDIA_TYPES.get(path.name.rpartition(".")[2])
        if kind:
            content = path.read_bytes()
            found[path.name] = File(content, kind, f'"{sha256(content).hexdigest()[:32]}"')
    return found


def _answer(file: File, request: AnyRequest) -> Response[bytes]:
    headers = {**HEADERS, "etag": file.tag}
    if file.tag in request.headers.get("if-none-match", ""):
        return Response(b"", status_code=304, media_type=file.media_type, headers=headers)
    return Response(file.content, media_type=file.media_type, headers=headers)
