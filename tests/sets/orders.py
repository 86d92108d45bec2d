"""Sets for tests: plates in one order, with fields changed."""

from typing import Any, Final

from tallyplate.sets.answers import SetAnswer, set_answer
from tallyplate.sets.priced import price_set
from tests.plates import MINIMAL, installation

PLATE: Final[dict[str, Any]] = MINIMAL["plate"]
AS_OF: Final[str] = MINIMAL["as_of"]


def entry(quantity: int = 1, **changes: Any) -> dict[str, Any]:
    """A small plate with changes, and how many of it."""
    return {"plate": {**PLATE, **changes}, "quantity": quantity}


def asked(*entries: Any, **around: Any) -> dict[str, Any]:
    """A set, dated so that no day changes it."""
    return {"plates": list(entries), "as_of": AS_OF, **around}


def answered(*entries: Any, **around: Any) -> SetAnswer:
    """The answer to a set in the inside form."""
    here = installation()
    return set_answer(price_set(asked(*entries, **around), here), here.versions)
