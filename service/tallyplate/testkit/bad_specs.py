"""Checks that bad specs are refused with the field named, or priced; and that nothing else ever comes of them."""

from collections.abc import Iterator
from copy import deepcopy
from typing import Any, Final, cast

from msgspec import inspect

from tallyplate.contract import PlateSpec, Refusal
from tallyplate.inquiry import read
from tallyplate.pricing import PluginFailure
from tallyplate.proof.plates import Json
from tallyplate.proof.specs import examples
from tallyplate.testkit.check import falsified
from tallyplate.testkit.examples import asked, bare, fields
from tallyplate.testkit.family_trial import FamilyTrial
from tallyplate.testkit.strategies import plates

Path = tuple[tuple[Any, Any], ...]
"""Steps into a plate, each with what is made where nothing stands there."""

ABSENT: Final = object()
"""As a value: the field is left out."""
VALUES: Final[tuple[Any, ...]] = (
    ABSENT, None, 17, -1, 10**9, [], "", "no-such-name", "600", "0 mm", "-5 mm", "1e9 mm", "0.0001 mm", "0.3 mm",
    "99 m", "9 furlongs",
)  # fmt: skip
"""What is put into each field in turn: of another type, bare, nothing, less than nothing, huge, unknown."""


def unrefused(trial: FamilyTrial) -> Iterator[str]:
    """Each bad value that comes to something else than a refusal or a price; then whatever hypothesis draws."""
    whole = _whole(trial)
    yield from _outcome(trial, whole | {"no_such_field": 1}, "an unknown field")
    for path in _paths(trial.plugin.spec):
        for value in VALUES:
            said = "left out" if value is ABSENT else repr(value)
            yield from _outcome(
                trial, _with(whole, path, value), f"/plate/{'/'.join(str(step) for step, _ in path)} {said}"
            )
    drawn = plates(trial.plugin, trial.name, trial.shop)
    yield from falsified(drawn, lambda plate: _outcome(trial, plate, asked(plate)))


def _outcome(trial: FamilyTrial, plate: Json, what: str) -> Iterator[str]:
    """What is wrong with what comes of a plate."""
    try:
        spec = read({"plate": plate}, trial.installation.families).plate
        trial.built(spec)
    except Refusal as refusal:
        yield from _misplaced(refusal, what)
        return
    except Exception as error:  # noqa: BLE001 - what is reported, whatever it is
        yield f"with {what} building raises {type(error).__name__}: {error}{trial.place(error)}"
        return
    try:
        trial.installation.price({"plate": plate}, trial.card.effective_from)
    except Refusal as refusal:
        yield from _misplaced(refusal, what)
    except PluginFailure as failure:
        yield f"with {what} the build cannot be priced: {failure}"
    except Exception as error:  # noqa: BLE001 - what is reported, whatever it is
        yield f"with {what} pricing raises {type(error).__name__}: {error}"


def _misplaced(refusal: Refusal, what: str) -> Iterator[str]:
    for fault in refusal.faults:
        if not fault.pointer.startswith("/plate"):
            yield f"with {what} the refusal points to {fault.pointer!r}, not into /plate"


def _whole(trial: FamilyTrial) -> Json:
    """The first example with every other answer at its first example."""
    plate: Json = {}
    for other in reversed(trial.examples):
        plate |= other
    return plate | trial.examples[0]


def _paths(spec: type) -> Iterator[Path]:
    """Every field of a spec and of the structs within it."""
    for field in fields(spec):
        yield ((field.encode_name, None),)
        kind, listed = bare(field.type), False
        if isinstance(kind, inspect.VarTupleType):
            kind, listed = bare(kind.item_type), True
        if isinstance(kind, inspect.StructType):
            first = examples(cast(type[PlateSpec], kind.cls))
            steps = ((field.encode_name, [first]), (0, first)) if listed else ((field.encode_name, first),)
            yield from ((*steps, *path) for path in _paths(kind.cls))


def _with(plate: Json, path: Path, value: object) -> Json:
    """The plate with a value put at a path; what must stand around it is made from examples."""
    made = deepcopy(plate)
    place: Any = made
    for step, around in path[:-1]:
        if isinstance(place, dict):
            place.setdefault(step, deepcopy(around))
        place = place[step]
    last = path[-1][0]
    if value is ABSENT:
        place.pop(last, None)
    else:
        place[last] = value
    return made
