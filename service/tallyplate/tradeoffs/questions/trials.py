"""Plates tried: what each comes to, module by module, or why it cannot be priced. Counted, and each tried once."""

from collections.abc import Mapping
from datetime import date
from typing import Any, Final

import msgspec
from msgspec import Struct

from tallyplate.checking import built
from tallyplate.contract import Assumption, Build, Family, Fault, Order, Refusal, Services, ShopData, Stage, Usual
from tallyplate.contract.services import NO_SERVICES
from tallyplate.decoding import faults, length_hook
from tallyplate.findings import Case, Finding, Severity, of_plate
from tallyplate.pointers import applied
from tallyplate.pricing import Modules, Part, Work, price_work, work_out
from tallyplate.rates.card import RateCard
from tallyplate.tradeoffs.choices import Value

DROPPED: Final = 3
"""Times that chosen answers make way for another before it is given up."""

MOVED: Final = {"pattern/pitch": "pattern/locating/pitch", "pattern/locating/pitch": "pattern/pitch"}
"""Where a separate arrangement states what another says of its only lattice, and the other way round."""

FEWEST, MOST = 0, 1
"""Places of the fewest and the most plates among the quantities of a bench."""

Chosen = Mapping[str, Value]
"""Answers that were chosen for open questions, by pointer into the request."""


class Costed(Struct, frozen=True):
    """One order priced: its total in minor units, what making it takes in work and in purchases, and who said so."""

    total: int
    worked: int
    bought: int
    parts: dict[str, Part]
    build: Build


class Trial(Struct, frozen=True):
    """A plate with the answers chosen for it, and what it takes; one that cannot be priced says why in `refused`."""

    chosen: Chosen
    plate: Mapping[str, Any]
    refused: tuple[Fault, ...] = ()
    assumed: tuple[Assumption, ...] = ()
    work: Work | None = None
    orders: dict[int, Costed] = {}
    """Its orders that were priced, by `FEWEST` and `MOST`."""


class Bench(Struct, frozen=True):
    """What plates of one family are tried with: the plate as given, versions, date, fewest and most plates.

    `services` are the fewest and the most too. `tried` remembers every trial, so that its length counts the plates that
    were built.
    """

    name: str
    family: Family
    plate: Mapping[str, Any]
    shop: ShopData
    card: RateCard
    modules: Modules
    day: date
    quantities: tuple[int, int]
    tried: dict[bytes, Trial]
    services: tuple[Services, Services] = (NO_SERVICES, NO_SERVICES)

    def order(self, place: int) -> Order:
        """An order of the fewest plates with the fewest services, or of the most with the most."""
        return Order(self.quantities[place], self.day, None, self.services[place])


def attempt(bench: Bench, chosen: Chosen) -> Trial:
    """A plate with chosen answers; raises `PluginFailure`."""
    plate = applied({"plate": bench.plate}, chosen)["plate"] | {"family": bench.name}
    key = msgspec.json.encode(plate)
    if key not in bench.tried:
        bench.tried[key] = _tried(bench, plate, chosen)
    return msgspec.structs.replace(bench.tried[key], chosen=chosen)


def changed(bench: Bench, before: Trial, pointer: str, value: Value) -> Trial:
    """A trial with another answer; chosen answers that it leaves without meaning make way, or move to a new place."""
    chosen = {**before.chosen, pointer: value}
    trial = attempt(bench, chosen)
    for _ in range(DROPPED):
        at_fault = [fault.pointer for fault in trial.refused]
        in_the_way = [one for one in chosen if one != pointer and _at(one, at_fault)]
        if not in_the_way or len(in_the_way) < len(at_fault):
            break
        moved = {place: chosen[one] for one in in_the_way if (place := _moved(one))}
        chosen = {**moved, **{one: value for one, value in chosen.items() if one not in in_the_way}}
        trial = attempt(bench, chosen)
    return trial


def _moved(pointer: str) -> str:
    """Where an answer stands in another arrangement; "" for one that has no other place."""
    return next((pointer.removesuffix(old) + new for old, new in MOVED.items() if pointer.endswith(f"/{old}")), "")


def _at(pointer: str, places: list[str]) -> bool:
    return any(place == pointer or pointer.startswith(f"{place}/") for place in places)


def _tried(bench: Bench, plate: Mapping[str, Any], chosen: Chosen) -> Trial:
    usual = Usual()
    try:
        spec = msgspec.convert(plate, bench.family.spec, dec_hook=length_hook)
        build = built(bench.family, bench.name, spec, bench.shop, usual)
    except msgspec.ValidationError:
        return Trial(chosen, plate, tuple(faults(plate, bench.family.spec, length_hook, "/plate")))
    except Refusal as refusal:
        return Trial(chosen, plate, refusal.faults)
    work = work_out(build, bench.shop, bench.card, bench.modules)
    return Trial(chosen, plate, (), tuple(usual.assumed), work, {})


def order(bench: Bench, trial: Trial, place: int) -> Costed:
    """An order of the fewest or of the most plates of a trial that was not refused."""
    if place not in trial.orders:
        assert trial.work is not None  # noqa: S101 - asked only of what was not refused
        trial.orders[place] = _costed(trial.work, bench.order(place))
    return trial.orders[place]


def _costed(work: Work, of: Order) -> Costed:
    priced = price_work(work, of)
    parts = work.parts[next(place for place, build in enumerate(work.builds) if build is priced.build)]
    makers = {part.name for part in parts if part.module.stage is Stage.MAKE}
    made = [line for line in priced.lines if line.of.module in makers]
    worked = sum(line.amount for line in made if line.of.work_center)
    bought = sum(line.amount for line in made) - worked
    return Costed(priced.total, worked, bought, {part.name: part for part in parts}, priced.build)


def errors(bench: Bench, trial: Trial) -> dict[tuple[str, str], Finding]:
    """Why a plate that has a price cannot be made all the same, by code and place."""
    found = of_plate(Case(order(bench, trial, FEWEST).build, bench.shop))
    return {one.key: one for one in found if one.severity is Severity.ERROR}
