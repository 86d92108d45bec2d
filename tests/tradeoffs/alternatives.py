"""Alternatives as tests look at them: found for a request, and by brute force, which prices every combination."""

import json
from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any, Final, NamedTuple

import msgspec

import tallyplate
from tallyplate.contract import CostModule, Order, Refusal
from tallyplate.http.alternatives import answered
from tallyplate.installation import MOST_DAYS, Form
from tallyplate.pricing import Modules
from tallyplate.tradeoffs.alternatives.pricer import Pricer
from tests.plates import DATA, installation
from tests.tradeoffs.effects import with_changes

Json = dict[str, Any]

CLAMPING: Final = ("tapped", "combination")
PLENTY: Final = "9999999.00 USD"


TOMBSTONE: Final[Json] = {
    "plate": {
        "family": "tombstone",
        "faces": 4,
        "face_width": "250 mm",
        "height": "300 mm",
        "material": "iron-grey",
        "hollow": True,
    },
    "quantity": 2,
    "as_of": "2026-03-02",
    "may_change": [
        {"pointer": "/plate/made_from", "values": ["stock", "casting", "cheaper"]},
        {"pointer": "/plate/pattern/pitch", "values": ["40 mm", "60 mm"]},
        "/plate/hollow",
        {"pointer": "/plate/flatness", "values": ["0.01 mm", "0.1 mm"]},
    ],
}


class Combination(NamedTuple):
    """A combination that can be made: what sorts first is the better of two of one price."""

    total: int
    fewer: int
    tolerance: float
    softer: float
    changed: int
    number: int
    changes: tuple[tuple[str, Any], ...]

    def beats(self, other: "Combination") -> bool:
        """Whether it costs no more and is as good in every measure."""
        return all(ours <= theirs for ours, theirs in zip(self[:4], other[:4], strict=True))


def found(request: Json, here: tallyplate.Installation | None = None, form: Form = Form.INSIDE) -> Json:
    """The answer to a request for alternatives, as a caller reads it."""
    answer: Json = json.loads(msgspec.json.encode(answered(request, here or installation(), form)))
    return answer


def every(request: Json, may_change: list[Json], here: tallyplate.Installation) -> Iterator[Combination]:
    """Every combination that can be made, by the service's prices."""
    plain = {name: value for name, value in request.items() if name not in {"budget", "may_change"}}
    sets = [[(one["pointer"], value) for value in (one["value"], *one["others"])] for one in may_change]
    for number, chosen in enumerate(product(*sets)):
        changes = {
            pointer: value
            for (pointer, value), one in zip(chosen, may_change, strict=True)
            if value is not one["value"]
        }
        asked = with_changes(plain, changes)
        try:
            price = here.price(asked)
        except Refusal:
            continue
        if any(finding.severity.value == "error" for finding in price.findings):
            continue
        build = here.build(asked).build
        holes = sum(group.count for group in build.holes if group.kind in CLAMPING and not group.mounting)
        modulus = here.shops[-1].materials[build.body.material].modulus
        stiff = modulus * min(build.body.length, build.body.width, build.body.thickness) ** 3 / 12
        yield Combination(
            cents(price.total), -holes, float(build.position_tolerance), -stiff, len(changes), number, _fixed(changes)
        )


def brute_force(combinations: list[Combination]) -> list[Combination]:
    """Those that no other beats, of equals the one with fewest changes; the cheapest first."""
    front: list[Combination] = []
    for one in sorted(combinations):
        if not any(better.beats(one) for better in front):
            front.append(one)
    return front


def cents(amount: str) -> int:
    """An amount in minor units."""
    return int(amount.replace(".", ""))


def told(answer: Json) -> list[tuple[int, int, tuple[tuple[str, Any], ...]]]:
    """Price, positions and changes of the alternatives of an answer."""
    return [
        (
            cents(one["total"]),
            one["positions"],
            _fixed({change["pointer"]: change["to"] for change in one["changes"]}),
        )
        for one in answer["alternatives"]
    ]


def expected(front: list[Combination], budget: int) -> list[tuple[int, int, tuple[tuple[str, Any], ...]]]:
    """The same of a front within a budget."""
    return [(one.total, -one.fewer, one.changes) for one in front if one.total <= budget]


def _fixed(changes: Mapping[str, Any]) -> tuple[tuple[str, Any], ...]:
    return tuple((pointer, json.dumps(value)) for pointer, value in changes.items())


def with_modules(**modules: CostModule) -> tallyplate.Installation:
    """What is installed, and some modules of a third party's."""
    here = installation()
    return tallyplate.installation.compose(here.families, {**here.modules, **modules}, DATA)


def assert_exact(request: Json, here: tallyplate.Installation | None = None) -> Json:
    """The alternatives are those of brute force: of all, within a budget that only some meet, and where none fits."""
    known = here or installation()
    answer = found({**request, "budget": PLENTY}, known)
    combinations = list(every(request, answer["may_change"], known))
    front = brute_force(combinations)
    assert answer["possible"] == len(combinations)
    assert told(answer) == expected(front, 10**12)
    if front:
        middle = front[len(front) // 2].total
        within = found({**request, "budget": f"{middle // 100}.{middle % 100:02d} USD"}, known)
        assert told(within) == expected(front, middle)
        nothing = found({**request, "budget": "0.01 USD"}, known)
        assert nothing["alternatives"] == []
        assert cents(nothing["nothing_fits"]["cheapest"]["total"]) == front[0].total
    return answer


def pricer(request: Json, here: tallyplate.Installation | None = None) -> Pricer:
    """What prices the plates of a request."""
    here = here or installation()
    made = here.build(request)
    family, order = made.inquiry.family, Order(made.inquiry.quantity, made.as_of)
    return Pricer(family, here.families[family], order, made.shop, made.card, Modules.of(here.modules), MOST_DAYS)
