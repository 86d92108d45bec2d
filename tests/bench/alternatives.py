"""Searching all combinations for a budget, against the engine pricing combinations one by one; on one core."""

import json
from collections.abc import Iterator
from datetime import date
from math import prod
from typing import Any, Final

import tallyplate
from tallyplate.contract import Order, Refusal, Usual
from tallyplate.findings import Case, Severity, of_plate
from tallyplate.http.effects import start
from tallyplate.installation import MOST_DAYS
from tallyplate.pointers import applied
from tallyplate.pricing import Modules
from tallyplate.tradeoffs.alternatives.pricer import Pricer
from tallyplate.tradeoffs.alternatives.search import search
from tallyplate.tradeoffs.alternatives.variables import USUAL, Variable, options, variables
from tests.bench.library import PLATE
from tests.bench.ratios import Said, fastest, row

BUDGET: Final = 4_000_00
FREE: Final = [
    *(pointer for pointer in USUAL if pointer not in {"/plate/thickness", "/plate/position_tolerance"}),
    {"pointer": "/plate/thickness", "values": ["36 mm", "38 mm", "43 mm", "46.5 mm"]},
    {
        "pointer": "/plate/position_tolerance",
        "values": ["0.01 mm", "0.015 mm", "0.02 mm", "0.04 mm", "0.05 mm", "0.1 mm", "0.2 mm"],
    },
    "/plate/flatness",
]
"""107,520 combinations of the first example, of which half can be made."""

SAMPLE: Final = 100
"""Combinations that are priced one by one, spread evenly over all."""


def report() -> Iterator[Said]:
    """The search, and combinations a second as a multiple of prices a second."""
    installation = tallyplate.load()
    request: dict[str, Any] = json.loads(PLATE.read_text(encoding="utf-8"))
    began = start(request, installation)
    free = variables(began, FREE)
    pricer = _pricer(request, installation, began.base.as_of)
    count = prod(one.count for one in free)
    best = fastest(
        {
            "search": lambda: search(request, free, pricer, BUDGET),
            "one by one": lambda: [
                _priced(number, request, free, pricer) for number in range(0, count, count // SAMPLE)
            ],
        },
        rounds=5,
        calls=1,
    )
    each, all_of_them = best["one by one"] / SAMPLE, best["search"]
    yield f"alternatives: {count:,} combinations in {all_of_them:.2f} s, {count / all_of_them:,.0f} a second"
    yield row("combinations a second, examined / priced one by one", each * count / all_of_them, "")


def _pricer(request: dict[str, Any], installation: tallyplate.Installation, day: date) -> Pricer:
    card, shop = installation.in_force(day)
    name, order = request["plate"]["family"], Order(request["quantity"], day)
    return Pricer(name, installation.families[name], order, shop, card, Modules.of(installation.modules), MOST_DAYS)


def _priced(number: int, request: dict[str, Any], free: tuple[Variable, ...], pricer: Pricer) -> int | None:
    """The price of a combination by its number, as it is made for one request: read, built, checked and priced."""
    pairs = zip(free, options(number, free), strict=True)
    changes = {one.pointer: one.option(option) for one, option in pairs if option}
    try:
        build = pricer.build(pricer.spec(applied(request, changes)["plate"]), Usual())
    except Refusal:
        return None
    if any(finding.severity is Severity.ERROR for finding in of_plate(Case(build, pricer.shop))):
        return None
    return pricer.total(lambda one: one, build)
