"""The pages for people: documentation of the interface, and what each kind of problem means."""

from collections.abc import Sequence
from html import escape
from importlib.resources import files
from pathlib import Path
from typing import Final

from litestar import Response, get
from litestar.exceptions import NotFoundException
from litestar.params import FromPath
from litestar.static_files import create_static_files_router
from litestar.types import ControllerRouterHandler
from swagger_ui_bundle import swagger_ui_path

from tallyplate.http.problems import STATUS, TITLES

HTML: Final = "text/html"

SECURITY: Final = {
    # The documentation's own script sets styles inline; nothing is loaded from elsewhere.
    "content-security-policy": "default-src 'self'; img-src 'self' data:; style-src 'self' 'unsafe-inline'",
    "x-content-type-options": "nosniff",
}

_PROBLEM: Final = """<!doctype html>
<html lang="en"><meta charset="utf-8"><title>{title}</title>
<h1>{title}</h1>
<p>HTTP {status}, kind <code>{code}</code>. The answer's <code>errors</code> name each field at fault.
"""


def handlers() -> Sequence[ControllerRouterHandler]:
    """Routes of the pages and of the files that they load."""
    own = files("tallyplate.http")
    documentation = own.joinpath("docs.html").read_text(encoding="utf-8")

    @get("/docs", sync_to_thread=False)
    def docs() -> Response[str]:
        """The documentation page, from files of our own origin only."""
        return Response(documentation, media_type=HTML, headers=SECURITY)

    @get("/problems/{code:str}", sync_to_thread=False)
    def explain(code: FromPath[str]) -> Response[str]:
        """What a kind of problem means."""
        if code not in TITLES:
            raise NotFoundException
        page = _PROBLEM.format(title=escape(TITLES[code]), status=int(STATUS[code]), code=code)
        return Response(page, media_type=HTML, headers=SECURITY)

    return [
        docs,
        explain,
        _files("/docs/assets", Path(swagger_ui_path)),
        _files("/docs/own", Path(str(own / "static"))),
    ]


def _files(path: str, folder: Path) -> ControllerRouterHandler:
    return create_static_files_router(path=path, directories=[folder], html_mode=False)
