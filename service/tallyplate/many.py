"""Many plates priced at once, for their totals alone: plates that differ in figures go through the formulas together.

Nothing is worked out here. Families, cost modules and the engine are the ones that price one plate; they are handed
columns in place of figures (`tallyplate.columns`). Plates are told apart by all that is no figure, then wherever a
formula asks something that has not one answer for all. What cannot be followed so, or comes to very few plates, is
priced plate by plate; and of every group that was followed, plates are priced by themselves and compared. So a plugin
that cannot be followed makes this slower and not wrong, as long as it is pure and tells values apart by neither type
nor text.
"""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import Any, Final

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from tallyplate.checking import built
from tallyplate.columns.column import Column, Lengths, Values
from tallyplate.columns.parting import Parted
from tallyplate.columns.walking import taken
from tallyplate.contract import Length, ShopData, Usual
from tallyplate.inquiry import MAX_QUANTITY, Inquiry
from tallyplate.installation import MOST_DAYS, Installation, budget_under
from tallyplate.pricing import Modules, days_of, price
from tallyplate.rates.card import RateCard
from tallyplate.units import UnitError, length

FEW: Final = 6
"""Plates that are quicker priced one by one than together."""

Path = tuple[str, ...]

QUANTITY: Final[Path] = ("quantity",)

ABSENT: Final = object()
"""What stands where a request says nothing."""


class Texts(Struct, frozen=True):
    """One field of many requests: the different values, and which of them each request has."""

    values: Sequence[object]
    which: Values


class Requests(Struct, frozen=True):
    """Many requests as a table: each field by its path, and any request whole by its place."""

    fields: dict[Path, Texts]
    whole: Callable[[int], object]
    count: int


class Totals(Struct, frozen=True):
    """Totals in minor units, and by module, of the requests at some places, which have card and date in common."""

    places: Values
    quantities: Values
    totals: Values
    by_module: dict[str, Values]
    as_of: date
    card: RateCard
    shop: ShopData


class Sort(Struct, frozen=True):
    """Plates that differ in figures alone: their places, and one of them, read, with columns for figures."""

    places: Values
    inquiry: Inquiry
    quantities: Values
    as_of: date
    card: RateCard
    shop: ShopData


Read = Callable[[object], tuple[Inquiry, date, RateCard, ShopData]]
"""Reads a request, and says its date and the versions that count; raises `Refusal`."""


def together(requests: Requests, installation: Installation, read: Read) -> tuple[list[Totals], list[int]]:
    """The totals of all requests that have a price and could be followed; and the places of the others."""
    found: list[Totals] = []
    others: list[int] = []
    modules = Modules.of(installation.modules)
    for places in _alike(requests):
        sort = _sort(places, requests, read) if len(places) >= FEW else None
        if sort is None:
            others += places.tolist()
            continue
        for part, totals in _priced(sort, installation, modules):
            if totals is None or not _confirmed(totals, requests, installation, modules, read):
                others += sort.places[part].tolist()
            else:
                found.append(totals)
    return found, others


def tabled(requests: Sequence[object]) -> Requests:
    """Requests as plain data, as a table."""
    known: dict[Path, dict[tuple[type, object], int]] = {}
    which: dict[Path, Values] = {}
    for place, request in enumerate(requests):
        for path, value in _leaves(request, ()):
            if path not in known:
                known[path], which[path] = {}, np.zeros(len(requests), np.int64)
            values = known[path]
            # True is 1 to a dictionary, and no quantity.
            which[path][place] = values.setdefault((type(value), value), len(values) + 1)
    fields = {path: Texts([ABSENT, *(value for _, value in values)], which[path]) for path, values in known.items()}
    return Requests(fields, requests.__getitem__, len(requests))


def _leaves(value: object, path: Path) -> Iterator[tuple[Path, object]]:
    if isinstance(value, dict) and value:
        for name, inner in value.items():
            yield from _leaves(inner, (*path, name))
    elif isinstance(value, list) and value:
        for place, inner in enumerate(value):
            yield from _leaves(inner, (*path, str(place)))
    else:
        yield path, repr(value) if isinstance(value, (dict, list)) else value


def _figure(path: Path, value: object) -> float | None:
    """What a field's value is as a figure: a length in mm, or the quantity; None where it is neither."""
    if path == QUANTITY:
        return value if type(value) is int and 1 <= value <= MAX_QUANTITY else None
    try:
        return float(length(value)) if type(value) is str else None
    except UnitError:
        return None


def _alike(requests: Requests) -> Iterator[Values]:
    """The places of requests that agree in all that is no figure, and in which figures they state."""
    keys = np.zeros(requests.count, np.int64)
    for path, texts in requests.fields.items():
        labels = [-1 if _figure(path, value) is not None else number for number, value in enumerate(texts.values)]
        if any(label != labels[0] for label in labels):
            # Numbered afresh each time, so that the product stays far within 64 bits.
            both = keys * (len(labels) + 1) + np.array(labels)[texts.which] + 1
            keys = np.unique(both, return_inverse=True)[1]
    yield from _by_key(keys)


def _by_key(keys: Values) -> Iterator[Values]:
    order = np.argsort(keys, kind="stable")
    yield from np.split(order, np.flatnonzero(np.diff(keys[order])) + 1)


def _sort(places: Values, requests: Requests, read: Read) -> Sort | None:
    """Requests that are alike, read as one; none where they are refused."""
    try:
        inquiry, as_of, card, shop = read(requests.whole(int(places[0])))
        budget_under(card, inquiry.budget)
    except Exception:  # noqa: BLE001 - each is priced by itself, and says what is wrong
        return None
    plate = inquiry.plate
    quantities = np.full(len(places), inquiry.quantity)
    for path, texts in requests.fields.items():
        which = texts.which[places]
        if (which == which[0]).all():
            continue
        figures = np.array([_figure(path, value) or 0 for value in texts.values])[which]
        if path == QUANTITY:
            quantities = figures.astype(np.int64)
        elif not isinstance(_at(plate, path[1:]), Length):
            return None
        else:
            plate = _with(plate, path[1:], Lengths(figures))
    return Sort(places, replace(inquiry, plate=plate), quantities, as_of, card, shop)


def _at(value: Any, path: Path) -> Any:
    for step in path:
        value = value[int(step)] if isinstance(value, tuple) else getattr(value, step, None)
    return value


def _with(value: Any, path: Path, figures: Lengths) -> Any:
    """A spec with figures at a path."""
    if not path:
        return figures
    step, *rest = path
    if isinstance(value, tuple):
        place = int(step)
        return (*value[:place], _with(value[place], tuple(rest), figures), *value[place + 1 :])
    return replace(value, **{step: _with(getattr(value, step), tuple(rest), figures)})


def in_parts(function: Callable[..., Any], given: tuple[Any, ...], count: int) -> Iterator[tuple[Values, Any]]:
    """What a function says of so many plates, part by part; None of few plates, and where it cannot be asked."""
    waiting = [np.arange(count)]
    while waiting:
        places = waiting.pop()
        if len(places) < FEW:
            yield places, None
            continue
        try:
            yield places, function(*taken(given, places))
        except Parted as parted:
            waiting += [places[part] for part in parted.parts]
        except Exception:  # noqa: BLE001 - each is priced by itself, and says what is wrong
            yield places, None


def _priced(sort: Sort, installation: Installation, modules: Modules) -> Iterator[tuple[Values, Totals | None]]:
    """The totals of plates that are alike, part by part."""
    inquiry, shop, card = sort.inquiry, sort.shop, sort.card
    family, name = installation.families[inquiry.family], inquiry.family
    given = inquiry.plate, Column(sort.quantities)
    order = inquiry.order(sort.as_of)

    def build(spec: Any, quantity: Any) -> Any:
        return built(family, name, spec, shop, Usual()), quantity

    def ordered(made: Any, quantity: Any) -> Any:
        asked = replace(order, quantity=quantity)
        priced = price(made, asked, shop, card, modules)
        # Lines that a plate has not are lines of nothing here, whose queues count: so these are days at most.
        if days_of(priced, asked, shop)[0] > MOST_DAYS:
            return None
        by_module: dict[str, Any] = {}
        for line in priced.lines:
            by_module[line.of.module] = by_module.get(line.of.module, 0) + line.amount
        return priced.total, by_module

    for part, made in in_parts(build, given, len(sort.places)):
        if made is None:
            yield part, None
            continue
        for within, found in in_parts(ordered, made, len(part)):
            places = part[within]
            if found is None:
                yield places, None
                continue
            total, by_module = found
            yield (
                places,
                Totals(
                    sort.places[places],
                    sort.quantities[places],
                    _spread(total, len(places)),
                    {module: _spread(amount, len(places)) for module, amount in by_module.items()},
                    sort.as_of,
                    card,
                    shop,
                ),
            )


def _spread(figure: Any, count: int) -> Values:
    return figure.values if isinstance(figure, Column) else np.full(count, figure)


def _confirmed(totals: Totals, requests: Requests, installation: Installation, modules: Modules, read: Read) -> bool:
    """Whether the first and the last of plates that were priced together cost as much by themselves."""
    for place in (0, -1):
        inquiry, as_of, card, shop = read(requests.whole(int(totals.places[place])))
        made = built(installation.families[inquiry.family], inquiry.family, inquiry.plate, shop, Usual())
        if price(made, inquiry.order(as_of), shop, card, modules).total != totals.totals[place]:
            return False
    return True
