"""A quote sheet as PDF: archivable, tagged, with the signed quote attached, and the same bytes each time.

Nothing is fetched: the page is whole, and its face comes from a package that is installed with it.
"""

from collections.abc import Mapping
from datetime import datetime, time
from functools import cache
from importlib.resources import files
from typing import Any, Final

from weasyprint import CSS, HTML, Attachment
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from tallyplate.quote.content import Quote

VARIANT: Final = "pdf/a-3a"
"""ISO 19005-3, accessible: a document to be kept, with files attached (from memory)."""

FACES: Final[Mapping[str, tuple[int, str]]] = {
    "Regular": (400, "normal"),
    "It": (400, "italic"),
    "Semibold": (600, "normal"),
    "Bold": (700, "normal"),
}
"""Faces of Source Sans Pro by their files' names, with weight and slope."""


class Shut(URLFetcher):  # type: ignore[misc]  # weasyprint ships no types
    """Gives the faces of the sheet by name, and refuses every other address."""

    def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> URLFetcherResponse:  # noqa: ARG002
        """The content of an address."""
        name = url.removeprefix("face:")
        if url == f"face:{name}" and name in FACES:
            file = files("font_source_sans_pro").joinpath("files", f"SourceSansPro-{name}.otf")
            return URLFetcherResponse(url, file.read_bytes(), {"content-type": "font/otf"})
        message = f"a quote sheet loads nothing, and so not {url[:80]!r}"
        raise FatalURLFetchingError(message)


def quote_pdf(html: str, quote: Quote, token: str) -> bytes:
    """A sheet as PDF, with its token attached."""
    fonts, faces = _faces()
    issued = datetime.combine(quote.issued_on, time())
    attached = Attachment(
        string=token,
        name=f"{quote.number}.jws",
        description="The signed quote: a JSON Web Signature (RFC 7515)",
        created=issued,
        modified=issued,
        relationship="Source",
    )
    document = HTML(string=html, base_url=None, url_fetcher=Shut())
    made: bytes = document.write_pdf(
        stylesheets=[faces], font_config=fonts, attachments=[attached], pdf_variant=VARIANT, pdf_identifier=b""
    )
    return made


@cache
def _faces() -> tuple[Any, Any]:
    fonts = FontConfiguration()
    rules = "".join(
        f"@font-face {{ font-family: 'Source Sans Pro'; src: url(face:{name}); font-weight: {weight};"
        f" font-style: {style} }}"
        for name, (weight, style) in FACES.items()
    )
    return fonts, CSS(string=rules, font_config=fonts, url_fetcher=Shut())
