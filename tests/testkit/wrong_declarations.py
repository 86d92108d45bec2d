"""Families and cost modules that are wrong in what they declare, each in one way."""

from typing import Annotated, Final

from msgspec import UNSET, Meta, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract import Length, Pattern, PerPiece, PlateSpec, Seconds
from tests.testkit.wrong import Wrong
from tests.testkit.wrong_families import RIGHT, Tray, family
from tests.testkit.wrong_modules import module


class Lipped(Tray, frozen=True, forbid_unknown_fields=True, tag="tray", kw_only=True):
    """A tray with a lip."""

    lip: Length | UnsetType = UNSET


class Loose(Tray, frozen=True, forbid_unknown_fields=False, tag="tray", kw_only=True):
    """A tray that takes anything."""


class Vast(PlateSpec, frozen=True, forbid_unknown_fields=True, tag="tray", kw_only=True):
    """A tray that no stock holds."""

    length: Annotated[Length, Meta(title="Length", examples=["90 m"])]
    width: Annotated[Length, Meta(title="Width", examples=["200 mm"])]
    pattern: Annotated[Pattern, Meta(title="Hole pattern")] | UnsetType = UNSET


class Lifting(Struct, forbid_unknown_fields=True):
    """Time to lift a tray."""

    lifting: Seconds


class Bare(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to lift a tray."""

    lifting: float


class Timed(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to lift a tray."""

    lifting: Seconds


class Told(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to lift a tray, and who does."""

    lifting: str
    by: str


class Minutes(Struct, frozen=True, forbid_unknown_fields=True):
    """Time to fix a nameplate."""

    fixing: float


class Price(Struct, frozen=True, forbid_unknown_fields=True):
    """What belongs on a rate card."""

    each: PerPiece


FAMILIES: Final = {
    "has a field without words": Wrong(
        family(spec=Lipped), "documented", r"the field 'lip' of Lipped has no title\.\n.*no examples\. .*Meta\(title="
    ),
    "takes unknown fields": Wrong(
        family(spec=Loose), "frozen", r"the struct Loose takes unknown fields without a word\. .*forbid_unknown_fields"
    ),
    "has an example that no stock holds": Wrong(
        family(spec=Vast), "examples", r"\"length\": \"90 m\".* is refused: /plate/length: no stock"
    ),
    "can be changed by anyone": Wrong(
        family(figures=Lifting, example_figures='[tray]\nlifting = "2 min"\n'),
        "frozen",
        r"the struct Lifting is not frozen\. Write class X\(Struct, frozen=True",
    ),
    "has a figure without a unit": Wrong(
        family(figures=Bare, example_figures="[tray]\nlifting = 2.0\n"),
        "units",
        r"the field 'lifting' of Bare is a bare number, in no unit\. Give each figure a type that carries its unit",
    ),
    "has a figure in a text": Wrong(
        family(figures=Told, example_figures='[tray]\nlifting = "2 min"\nby = "M12 hoist"\n'),
        "no_figures_in_text",
        r"tray\.lifting is text and holds the figure '2 min'\. Text is for names",
    ),
    "has figures and no example": Wrong(
        family(figures=Timed),
        "sections",
        r"it declares figures and gives no example_figures\. .*in TOML with their headers",
    ),
    "has an example that does not fit": Wrong(
        family(figures=Timed, example_figures='[tray]\nlifting = "2 kg"\n'),
        "sections",
        r"tray\.lifting: '2 kg' has the",
    ),
    "has a name of another style": Wrong(RIGHT, "name", r"'Tray-2' is not lower-case words", name="Tray-2"),
    "has a name that is taken": Wrong(
        RIGHT, "name", r"'stock' is taken: tallyplate_plugins\.costs\.stock", name="stock"
    ),
    "is written to another contract": Wrong(
        replace(RIGHT, contract=99),
        "contract",
        r"it states contract 99; .* speaks contract 1\. Write contract=CONTRACT",
    ),
}

MODULES: Final = {
    "has a figure without a unit": Wrong(
        module(figures=Minutes, example_figures="[nameplates]\nfixing = 3.0\n"),
        "units",
        r"the field 'fixing' of Minutes is a bare number, in no unit",
    ),
    "has money in the shop data": Wrong(
        module(figures=Price, example_figures='[nameplates]\neach = "3 XXX/piece"\n'),
        "units",
        r"the field 'each' of Price is money \(PerPiece\), which belongs into the rates",
    ),
    "has rates and no example": Wrong(
        module(example_rates=""),
        "sections",
        r"it declares rates and gives no example_rates\. Give the plugin example_rates",
    ),
    "has no title": Wrong(module(title=""), "documented", r"it has no title"),
}
