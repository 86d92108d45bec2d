"""An installation with the cost modules of a test and no others, so that what it costs can be said by hand."""

from pathlib import Path
from typing import Any

from tallyplate.contract import CostModule
from tallyplate.installation import Installation, compose
from tallyplate.proof.bench import Bench
from tallyplate.rates.heads import CardHead, ShopHead
from tests.plates import installation
from tests.rates.folder import CARD, SHOP, good, write


def only(paint: CostModule, folder: Path, section: dict[str, Any] | None = None, **others: CostModule) -> Installation:
    """Prices what a module of the name `paint` asks, by the heads of the demonstration's card and shop data."""
    for file, head in ((CARD, CardHead), (SHOP, ShopHead)):
        data = good(file)
        # What is said of quotes names kinds of work that are not here.
        bare = {name: data[name] for name in head.__struct_fields__ if name != "quotes"}
        own = {"paint": section} if section and head is CardHead else {}
        write(folder / file.parent.name / file.name, bare | own)
    return compose(installation().families, {"paint": paint, **others}, folder)


def bench(installed: Installation) -> Bench:
    """The sample, under the first rate card and shop data."""
    return Bench(installed.families, installed.modules, installed.cards[0], installed.shops[0])
