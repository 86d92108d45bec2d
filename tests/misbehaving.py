"""Cost modules that do wrong, each in one way."""

from collections.abc import Callable, Iterable
from typing import Any, Final

from tallyplate.contract import CONTRACT, Charge, CostModule, PerPiece, Stage, refuse

EACH: Final = PerPiece(500, 2)
"""Five of the currency for a piece."""


def _raises(*_: Any) -> Iterable[Any]:
    message = "the drill broke"
    raise RuntimeError(message)


def _raises_late(*_: Any) -> Iterable[Any]:
    yield Charge("first", 1, EACH)
    message = "the drill broke"
    raise RuntimeError(message)


def _refuses(*_: Any) -> Iterable[Any]:
    raise refuse("/plate/length", "not today")


def _says(*charges: Any) -> Callable[..., Iterable[Any]]:
    return lambda *_: charges


WRONG: Final[dict[str, tuple[Callable[..., Any], str]]] = {
    "it raises": (_raises, "the drill broke"),
    "it raises after a charge": (_raises_late, "the drill broke"),
    "it refuses, which is a family's right": (_refuses, "not today"),
    "it runs out of stack": (lambda *_: _endless(), "RecursionError"),
    "it says nothing at all": (lambda *_: None, "'NoneType' object"),
    "it says a number": (lambda *_: 5, "'int' object"),
    "it says a text": (_says("five each"), "'str' object"),
    "it says a pair": (_says(("coat", 5)), "'tuple' object"),
    "its quantity is no number": (_says(Charge("coat", float("nan"), EACH)), "'coat' has the quantity nan"),
    "its quantity is infinite": (_says(Charge("coat", float("inf"), EACH)), "'coat' has the quantity inf"),
    "its quantity is negative": (_says(Charge("coat", -1, EACH)), "'coat' has the quantity -1"),
    "its quantity is a text": (_says(Charge("coat", "1", EACH)), "TypeError"),  # type: ignore[arg-type]
    "its rate is a number": (_says(Charge("coat", 1, 5.0)), "'coat' has neither a rate"),  # type: ignore[arg-type]
    "its rate is negative": (_says(Charge("coat", 1, PerPiece(-500, 2))), "'coat' has the rate -5.00 "),
    "its rate is in another currency": (
        _says(Charge("coat", 1, PerPiece.read("5.00 CHF/piece", "CHF"))),
        "'coat' has the rate 5.00 CHF",
    ),
    "its item is no text": (_says(Charge(5, 1, EACH)), "5 and its basis are not both text"),  # type: ignore[arg-type]
    "its basis is no text": (_says(Charge("coat", 1, EACH, basis=5)), "not both text"),  # type: ignore[arg-type]
    "it has neither rate nor work centre": (_says(Charge("coat", 1)), "'coat' has neither a rate nor a work centre"),
    "its work centre is unknown": (
        _says(Charge("coat", 1, work_center="spray")),
        "'coat' has neither a rate nor a work centre",
    ),
}


def _endless() -> Iterable[Any]:
    return _endless()


def module(charges: Callable[..., Any], stage: Stage = Stage.MAKE) -> CostModule:
    """A cost module of the current contract that says these charges."""
    return CostModule(contract=CONTRACT, stage=stage, charges=charges)
