"""What a plugin is: one value, found through an entry point whose name is its name everywhere.

`tallyplate.families` entry points hold a `Family`, `tallyplate.costs` ones a `CostModule`. The entry point's name is
the family's tag in JSON, or the card's section and the line's `module`.
"""

from collections.abc import Callable, Iterable
from typing import Any, Final

from msgspec import Struct

from tallyplate.contract.build import Build
from tallyplate.contract.charges import Charge, Line, Order, Stage
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import PlateSpec, Usual

CONTRACT: Final = 1
"""Version of this contract; a plugin states the one it was written to."""


class Question(Struct, frozen=True, kw_only=True):
    """How a field of a family's own spec is asked for: words to read out to a customer, and why the answer matters.

    `pointer` is into the request. `answers` are those worth pricing, the least first; a length that has no usual answer
    is asked for as a range between the first and the last. `supposed` stands in while such a field is open; where it is
    not said, the first of the field's examples does.
    """

    pointer: str
    ask: str
    why: str
    answers: tuple[str | int, ...] = ()
    supposed: str | int | None = None


class Family(Struct, frozen=True, kw_only=True):
    """A kind of body. Knows geometry, knows no money.

    `build(spec, shop, usual)` makes the build, asking `usual` for every answer that the spec leaves open; it refuses
    (`Refusal`) what has no geometry. `figures` is the struct of the family's own section of the shop data, if any, and
    `example_figures` that section as shop data would state it: TOML with its headers. `questions` words its own fields;
    one that is not worded there is asked for by its title and description. `existing` is for a family whose plates
    exist already: nobody means it who does not name it.
    """

    contract: int
    title: str
    spec: type[PlateSpec]
    build: Callable[[Any, ShopData, Usual], Build]
    figures: type[Struct] | None = None
    example_figures: str = ""
    questions: tuple[Question, ...] = ()
    existing: bool = False


class CostModule(Struct, frozen=True, kw_only=True):
    """One kind of cost. Reads a build and its own section of the rate card, and knows no other module.

    `charges(build, order, shop, rates, earlier)` prices the whole order. `rates` and `figures` are the structs of the
    module's own section of the rate card and of the shop data. `work_centers` names those it charges time to.
    `reads_blank` is False for a module that never looks at the blank, and `reads_order` for one that never looks at the
    order: what such a module says of a plate is asked once and remembered.
    An order of several kinds of plates is priced by asking for each kind as if it were ordered alone, in later stages
    with the lines of the whole order; a share of money is then taken once.
    `gaps(rates, shop)` names what the shop offers and these rates do not price. `whole_lots` says that the module
    prices lots, so that a unit price may rise with quantity. `place` orders the lines of a stage for the
    reader, and `title` is what a customer reads for the module's work. `example_rates` and `example_figures` are what a
    rate card and shop data would state for it, in TOML with its headers: its sections, and work centres that are new.
    The demonstration takes them where its own files say nothing. `optional` is for a module that charges only what is
    asked for besides a plain plate: a card or shop data without its section go on pricing plates, and the module, which
    then gets no rates, refuses (`Refusal`) what asks for it. One that reads the order is asked
    only for an order with services. To customers it is a line, of whatever stage.
    """

    contract: int
    stage: Stage
    charges: Callable[[Build, Order, ShopData, Any, tuple[Line, ...]], Iterable[Charge]]
    rates: type[Struct] | None = None
    figures: type[Struct] | None = None
    work_centers: tuple[str, ...] = ()
    reads_blank: bool = True
    reads_order: bool = True
    whole_lots: bool = False
    optional: bool = False
    place: int = 100
    title: str = ""
    gaps: Callable[[Any, ShopData], Iterable[str]] | None = None
    example_rates: str = ""
    example_figures: str = ""
