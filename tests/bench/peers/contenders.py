"""The contenders. Each is made ready once, as it would be in a service, and told by its name where it is absent."""

import re
import tempfile
from datetime import date
from math import floor
from pathlib import Path
from typing import Any, Final

import msgspec

from tallyplate.contract import Charge, CostModule, Order, PerKilogram, PerPiece, PerSquareMetre, Stage
from tallyplate.contract.figures import PerHour
from tallyplate.money import count
from tallyplate.pricing import HALF_UP, Modules, price
from tests.bench.peers.model import INPUTS, LINES, Answer, Contender
from tests.costs.plain import BUILD, shop
from tests.plates import installation

RATES: Final = {"kg": PerKilogram, "h": PerHour, "": PerPiece, "m**2": PerSquareMetre}
TIE: Final = "0.000000001"
CODE: Final = [compile(line.formula, line.name, "eval") for line in LINES]


def ours() -> Contender:
    """The engine, with a cost module of fifteen charges."""
    card, terms, order = installation().cards[0], shop(), Order(1, date(2026, 6, 1))
    rates = [RATES[line.unit](count(f"{line.rate:.2f}", 2), 2) for line in LINES]

    def answer(body: bytes) -> Answer:
        plate = msgspec.json.decode(body)
        charges = [
            Charge(line.name, eval(code, {}, plate), rate)  # noqa: S307 - formulas of the model
            for line, code, rate in zip(LINES, CODE, rates, strict=True)
        ]
        module = CostModule(contract=1, stage=Stage.MAKE, charges=lambda *_: charges)
        priced = price(BUILD, order, terms, card, Modules.of({"model": module}))
        return {line.of.item: line.amount / 100 for line in priced.lines}, priced.total / 100

    return answer


def plain() -> Contender:
    """Python's own numbers: what fifteen lines cost at least."""

    def answer(body: bytes) -> Answer:
        plate = msgspec.json.decode(body)
        quantities = [eval(code, {}, plate) for code in CODE]  # noqa: S307 - formulas of the model
        return _amounts(quantities)

    return answer


def unit_objects() -> Contender:
    """A naive service: every figure is an object with a unit (pint)."""
    from pint import UnitRegistry  # noqa: PLC0415 - a contender may be absent

    units: UnitRegistry = UnitRegistry()

    def answer(body: bytes) -> Answer:
        given = msgspec.json.decode(body)
        plate = {name: units.Quantity(given[name], unit) for name, (_, unit) in INPUTS.items()}
        quantities = [eval(code, {}, plate) for code in CODE]  # noqa: S307 - formulas of the model
        return _amounts([one.to(line.unit).magnitude for one, line in zip(quantities, LINES, strict=True)])

    return answer


def rules() -> Contender:
    """A general-purpose rules engine, a rule a line (rule-engine)."""
    import rule_engine  # noqa: PLC0415 - a contender may be absent

    made = [rule_engine.Rule(line.formula) for line in LINES]

    def answer(body: bytes) -> Answer:
        plate = msgspec.json.decode(body)
        return _amounts([float(rule.evaluate(plate)) for rule in made])

    return answer


def compiled_sheet() -> Contender:
    """A spreadsheet compiled to functions (formulas)."""
    import formulas  # noqa: PLC0415 - a contender may be absent
    import openpyxl  # noqa: PLC0415 - likewise

    book = openpyxl.Workbook()
    sheet: Any = book.active
    sheet.title = "M"
    cells = {name: f"A{row}" for row, name in enumerate(INPUTS, start=1)}
    for name, cell in cells.items():
        sheet[cell] = INPUTS[name][0]
    for row, line in enumerate(LINES, start=1):
        formula = re.sub(r"[a-z_]+", lambda found: cells[found[0]], line.formula)
        # The library rounds by binary fractions, so that a tie needs a push to go up.
        sheet[f"B{row}"] = f"=ROUND(ROUND({formula}+{TIE},{line.decimals})*{line.rate}+{TIE},2)"
    sheet[f"B{len(LINES) + 1}"] = f"=SUM(B1:B{len(LINES)})"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "m.xlsx"
        book.save(path)
        model = formulas.ExcelModel().loads(str(path)).finish()
    named = [f"'[m.xlsx]M'!{cell}" for cell in (*cells.values(), *(f"B{row}" for row in range(1, len(LINES) + 2)))]
    compiled = model.compile(named[: len(cells)], named[len(cells) :])

    def answer(body: bytes) -> Answer:
        plate = msgspec.json.decode(body)
        amounts = [float(one.value[0, 0]) for one in compiled(*(plate[name] for name in INPUTS))]
        return dict(zip([line.name for line in LINES], amounts[:-1], strict=True)), amounts[-1]

    return answer


def _amounts(quantities: list[float]) -> Answer:
    """Quantities rounded, priced and rounded again, half up."""
    amounts = {
        line.name: _rounded(_rounded(quantity, line.decimals) * line.rate, 2)
        for line, quantity in zip(LINES, quantities, strict=True)
    }
    return amounts, round(sum(amounts.values()), 2)


def _rounded(figure: float, decimals: int) -> float:
    scale = 10**decimals
    return floor(figure * scale + HALF_UP) / scale


CONTENDERS: Final = {
    "our engine": ours,
    "plain numbers": plain,
    "unit objects (pint)": unit_objects,
    "a rules engine (rule-engine)": rules,
    "a compiled spreadsheet (formulas)": compiled_sheet,
}
