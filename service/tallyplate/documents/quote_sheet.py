"""The quote sheet as one HTML page that stands alone: for the screen, a phone, and paper.

Every text goes through one door: `printable` takes out what could break a line or turn the reading direction, and the
template escapes the rest.
"""

from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import DictLoader, Environment, StrictUndefined
from markupsafe import Markup
from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import Build, ShopData
from tallyplate.documents.measures import MEASURES, UnitName
from tallyplate.documents.picture import plate_picture
from tallyplate.documents.quote_answers import answers
from tallyplate.documents.quote_conventions import WRITINGS, Writing, usual
from tallyplate.documents.quote_inside import Inside
from tallyplate.documents.quote_options import SheetOptions
from tallyplate.documents.quote_services import services
from tallyplate.documents.quote_words import Fact, assumed, facts
from tallyplate.documents.texts import printable
from tallyplate.quote.content import Quote
from tallyplate.units import LENGTH_UNITS, listed


class Plates(Struct, frozen=True):
    """The plate that a quote is of, or those of its set, as the shop would make them."""

    builds: tuple[Build, ...]
    shop: ShopData


class Shown(Struct, frozen=True):
    """A plate as the sheet shows it."""

    title: str
    picture: Markup
    facts: list[Fact]
    mass_each: str


def writing(quote: Quote, options: SheetOptions) -> Writing:
    """The convention that a quote is written in."""
    found = WRITINGS[options.conventions or usual(quote.customer.country or None, quote.seller.country or None)]
    return replace(found, measure=MEASURES[options.unit or _unit(quote)])


def _unit(quote: Quote) -> UnitName:
    """The unit of most lengths that the customer stated, by their ends."""
    assumed = {one.pointer for one in quote.assumed}
    ends = [text.rpartition(" ")[2] for name, text in answers(quote.request) if f"/{name}" not in assumed]
    inches = sum(end in {"in", "ft"} for end in ends)
    return "in" if inches > sum(end in LENGTH_UNITS for end in ends) - inches else "mm"


def quote_sheet(quote: Quote, plates: Plates, options: SheetOptions, within: Inside | None = None) -> str:
    """The sheet of a quote; with what is within for the house, a page more that says so."""
    write = writing(quote, options)
    page: str = _template("quote_sheet.html").render(
        quote=quote,
        write=write,
        paper=options.paper or write.paper,
        title=f"Quotation {quote.number}",
        plates=list(_shown(quote, plates, write)),
        services=list(services(quote.request, write)),
        assumed=[assumed(one, plates.shop, write) for one in quote.assumed],
        cautions=[write.dated(one.message) for one in quote.findings if one.severity == "caution"],
        notes=[write.dated(one.message) for one in quote.findings if one.severity != "caution"],
        within=within,
        css=Markup(_file("quote_sheet.css")),  # noqa: S704 - files of this package
        screen=Markup(_file("quote_screen.css")),  # noqa: S704
    )
    return page


def _shown(quote: Quote, plates: Plates, write: Writing) -> Iterator[Shown]:
    named = [(one.title, one.mass_each) for one in quote.plates] or [(quote.title, quote.dispatch.mass_each)]
    asked = quote.request.get("plates", [quote.request])
    for build, (words, mass_each), one in zip(plates.builds, named, asked, strict=True):
        picture = Markup(plate_picture(build, write.measure.unit))  # noqa: S704 - written and escaped here
        joined = [("Joined", f"along {listed(one['joined'])}")] if "joined" in one else []
        yield Shown(words, picture, [*facts(build, plates.shop, write, one["plate"]), *joined], mass_each)


def _file(name: str) -> str:
    return files("tallyplate.documents").joinpath("templates", name).read_text("utf-8")


@cache
def _template(name: str) -> Any:  # noqa: ANN401 - jinja2's own
    names = ("quote_sheet.html", "quote_inside.html")
    environment = Environment(
        loader=DictLoader({one: _file(one) for one in names}),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=lambda value: value if isinstance(value, Markup) else printable(str(value)),
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template(name)
