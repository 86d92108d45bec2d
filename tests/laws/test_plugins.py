"""Law 7, on plugins: their order does not matter, a neutral one changes nothing, one that leaves takes its own lines.

Where a module leaves whose cost decided between two blanks, another blank may be chosen, and all that reads the blank
follows. So the last is stated for a plate that one blank serves.
"""

import json
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.contract import CONTRACT, Build, Charge, CostModule, Line, Order, ShopData, Stage
from tallyplate.installation import compose
from tallyplate.pricing import Modules, Priced
from tests.laws.builds import builds
from tests.laws.prices import MODULES, one_blank, priced
from tests.plates import DATA, installation
from tests.strategies import AS_OF, Json

FAMILIES = dict(installation().families)
STAGES = {name: module.stage.value for name, module in MODULES.items()}

FULL: Json = {
    "plate": {
        "family": "rectangular",
        "length": "300 mm",
        "width": "200 mm",
        "material": "steel-4140",
        "pattern": {"bushings": True, "thread_inserts": True},
        "position_tolerance": "0.012 mm",
        "finish": "black-oxide",
    },
    "as_of": AS_OF,
}
"""A plate that every module but the minimum has a line for, and that a single blank serves."""
SMALL: Json = {
    "plate": {"family": "rectangular", "length": "60 mm", "width": "60 mm", "thickness": "20 mm", "material": "acetal"},
    "as_of": AS_OF,
}
"""A plate below the minimum order."""

SERVED: Json = FULL | {
    "services": {
        "material_certificate": "2.1",
        "inspection_report": "every_hole",
        "packing": "export",
        "spares": {"screws": {"M12": 8}},
        "matched": True,
        "rush": True,
    }
}
"""The same with paper and service."""
ASKING: dict[str, Json] = {
    "minimum": SMALL,
    "supplied": FULL | {"plate": FULL["plate"] | {"material_supplied": True}},
    "features": FULL | {"plate": FULL["plate"] | {"edge_chamfer": "1 mm"}},
    "handling": FULL | {"plate": FULL["plate"] | {"handles": "one_pair"}},
    "reworking": {
        "plate": {
            "family": "rework",
            "length": "300 mm",
            "width": "200 mm",
            "thickness": "40 mm",
            "material": "steel-4140",
            "bushings": [{"screw": "M12", "count": 8}],
        },
        "quantity": 5,
        "as_of": AS_OF,
    },
}
"""Requests that have a line of a module which the plate above has none of."""


def said(order: Priced) -> list[tuple[str, str, int, int]]:
    """Whose each line is, of what, and its figures."""
    return [(line.of.module, line.of.item, line.quantity, line.amount) for line in order.lines]


def no_charges(build: Build, order: Order, shop: ShopData, rates: None, earlier: tuple[Line, ...]) -> Iterable[Charge]:
    """Nothing."""
    return ()


@given(builds(), st.permutations(sorted(MODULES)), st.integers(1, 60))
def test_the_order_in_which_modules_are_registered_does_not_matter(
    build: Build, names: list[str], quantity: int
) -> None:
    permuted = Modules.of({name: MODULES[name] for name in names})
    assert said(priced(build, quantity, modules=permuted)) == said(priced(build, quantity))


def backwards(plugins: dict[str, Any]) -> dict[str, Any]:
    """The same plugins, registered the other way round."""
    return {name: plugins[name] for name in reversed(plugins)}


def test_an_installation_composed_in_reverse_gives_the_same_bytes() -> None:
    reverse = compose(backwards(FAMILIES), backwards(MODULES), DATA)
    for request in (FULL, SMALL):
        body = json.dumps(request).encode()
        assert reverse.price_json(body) == installation().price_json(body)


@pytest.mark.parametrize("stage", Stage)
def test_a_neutral_module_changes_no_byte(stage: Stage) -> None:
    neutral = CostModule(contract=CONTRACT, stage=stage, charges=no_charges)
    more = compose(FAMILIES, MODULES | {"neutral": neutral}, DATA)
    for request in (FULL, SMALL):
        body = json.dumps(request).encode()
        assert more.price_json(body) == installation().price_json(body)


@given(builds(), st.sampled_from(Stage), st.integers(0, 200))
def test_a_module_sees_the_lines_of_earlier_stages_alone(build: Build, stage: Stage, place: int) -> None:
    seen: set[int] = set()

    def listening(
        build: Build, order: Order, shop: ShopData, rates: None, earlier: tuple[Line, ...]
    ) -> Iterable[Charge]:
        seen.update(STAGES[line.of.module] for line in earlier)
        return ()

    listener = CostModule(contract=CONTRACT, stage=stage, place=place, charges=listening)
    order = priced(build, modules=Modules.of(MODULES | {"listener": listener}))
    assert said(order) == said(priced(build))
    assert seen == {STAGES[line.of.module] for line in order.lines if STAGES[line.of.module] < stage.value}


@given(builds(), st.sampled_from(sorted(MODULES)), st.integers(1, 60))
def test_a_module_that_leaves_takes_its_lines_and_no_others_of_its_stage(
    build: Build, leaving: str, quantity: int
) -> None:
    build = one_blank(build)
    before = priced(build, quantity)
    after = priced(build, quantity, modules=Modules.of({name: MODULES[name] for name in MODULES if name != leaving}))
    assert up_to(STAGES[leaving], after) == [line for line in up_to(STAGES[leaving], before) if line[0] != leaving]
    assert after.total <= before.total


def up_to(stage: int, order: Priced) -> list[tuple[str, str, int, int]]:
    """What a price says in the stages up to one."""
    return [line for line in said(order) if STAGES[line[0]] <= stage]


def without_section(toml: str, section: str) -> str:
    """A file's text without the tables of one section, and without the prices that are agreed on its work."""
    tables = re.split(r"^(?=\[)", toml, flags=re.MULTILINE)
    names = re.compile(rf'\[{section}[].]|(?s:.*)^module = "{section}"$', re.MULTILINE)
    return "".join(table for table in tables if not names.match(table))


@pytest.mark.parametrize("leaving", sorted(MODULES))
def test_an_installation_without_a_module_and_its_sections_prices_all_else_as_before(
    tmp_path: Path, leaving: str
) -> None:
    for file in DATA.glob("*/*.toml"):
        copy = tmp_path / file.relative_to(DATA)
        copy.parent.mkdir(exist_ok=True)
        copy.write_text(without_section(file.read_text(), leaving))
    fewer = compose(FAMILIES, {name: MODULES[name] for name in MODULES if name != leaving}, tmp_path)
    body = json.dumps(ASKING.get(leaving, SERVED if MODULES[leaving].optional else FULL)).encode()
    before, after = (json.loads(one.price_json(body))["lines"] for one in (installation(), fewer))
    assert leaving in {line["module"] for line in before}
    same_stage = [line for line in before if STAGES[line["module"]] <= STAGES[leaving] and line["module"] != leaving]
    assert after[: len(same_stage)] == same_stage
    assert [line["module"] for line in after] == [line["module"] for line in before if line["module"] != leaving]
