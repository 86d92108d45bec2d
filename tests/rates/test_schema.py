"""The JSON Schema of cards and shop data: it lets pass what loads, asks an editor's questions, and names each unit."""

import json
import re
import subprocess
import sys
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import msgspec
import pytest
from jsonschema import Draft7Validator
from msgspec import Struct
from msgspec.structs import replace

import tallyplate.contract.figures as figures_module
from tallyplate.contract import CostModule, Figure, Length, PerPiece, Rate, Sum
from tallyplate.rates.kinds import card_type, shop_type
from tallyplate.rates.schema import json_schema
from tallyplate.rates.sections import money_hook
from tests.misbehaving import module
from tests.plates import installation
from tests.rates.folder import CARD, SHOP, merged, without
from tests.rates.schemas import faults

TAPLO = Path(sys.executable).parent / "taplo"

FIGURES = [
    kind
    for kind in vars(figures_module).values()
    if isinstance(kind, type) and issubclass(kind, Rate | Figure | Sum) and kind not in {Rate, Figure}
]


def _schema(kind: str = "card", modules: dict[str, CostModule] | None = None) -> dict[str, Any]:
    here = installation()
    all_modules = {**here.modules, **(modules or {})}
    made = card_type(all_modules) if kind == "card" else shop_type(all_modules, here.families)
    return json_schema(made, "Title")


def _faults(data: Any, schema: dict[str, Any] | None = None) -> list[str]:
    schema = schema or _schema()
    Draft7Validator.check_schema(schema)
    return faults(data, schema)


def _card() -> dict[str, Any]:
    return tomllib.loads(CARD.read_text())


@pytest.mark.parametrize(("kind", "file"), [("card", CARD), ("shop", SHOP)])
def test_the_demonstrations_files_satisfy_their_schema_and_not_the_others(kind: str, file: Path) -> None:
    data = tomllib.loads(file.read_text())
    assert _faults(data, _schema(kind)) == []
    assert _faults(data, _schema("shop" if kind == "card" else "card")) != []


@pytest.mark.parametrize(("kind", "file", "key"), [("card", CARD, "wrap"), ("shop", SHOP, "scrap")])
def test_a_toml_editors_own_engine_passes_the_good_file_and_points_at_the_bad_key(
    tmp_path: Path, kind: str, file: Path, key: str
) -> None:
    # taplo is the engine that TOML extensions of editors check and complete with.
    schema, bad = tmp_path / "schema.json", tmp_path / "bad.toml"
    schema.write_text(json.dumps(_schema(kind)))
    bad.write_text(re.sub(rf'^{key} = ".*"', f"{key} = 5.80", file.read_text(), flags=re.MULTILINE))
    lint = [str(TAPLO), "lint", "--no-auto-config", "--schema", schema.as_uri()]
    good_run, bad_run = (
        subprocess.run([*lint, str(one)], capture_output=True, text=True, check=False, timeout=60)
        for one in (file, bad)
    )
    assert good_run.returncode == 0, good_run.stderr
    assert bad_run.returncode != 0
    assert re.search(rf"{key} = 5\.80\b.*\n.*is not of type", bad_run.stderr)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"work_centers": {"saw": 58}}, "$.work_centers.saw: 58 is not of type 'string'"),
        ({"work_centers": {"saw": "58"}}, "$.work_centers.saw: '58' does not match"),
        ({"work_centers": {"saw": "58,00 USD/h"}}, "$.work_centers.saw: '58,00 USD/h' does not match"),
        ({"work_centers": {"saw": "58 USD"}}, "$.work_centers.saw: '58 USD' does not match"),
        ({"minimum": {"order": "450 USD/h"}}, "$.minimum.order: '450 USD/h' does not match"),
        ({"margin": {"of_price": "22 percent of cost"}}, "$.margin.of_price: "),
        ({"stock": {"kerf": "1 USD/piece"}}, "$.stock: Additional properties are not allowed ('kerf' was unexpected)"),
        ({"painting": {}}, "$: Additional properties are not allowed ('painting' was unexpected)"),
        ({"rounding": "up"}, "$.rounding: 'up' is not one of ['half-even', 'half-up']"),
        ({"currency": "dollars"}, "$.currency: 'dollars' does not match"),
        ({"id": "my card"}, "$.id: 'my card' does not match"),
        ({"finishing": {"as_machined": "plain"}}, "$.finishing.as_machined: 'plain' is not of type 'array'"),
        (
            {"inserts": {"bushing": {"M12": {"breaks": [{"from": "1", "price": "1 USD/piece"}]}}}},
            "$.inserts.bushing.M12.breaks[0].from: '1' is not of type 'integer'",
        ),
        (
            {"inserts": {"bushing": {"M12": {"breaks": [{"from": 1}]}}}},
            "$.inserts.bushing.M12.breaks[0]: 'price' is a required property",
        ),
    ],
    ids=repr,
)
def test_one_mistake_is_one_fault_at_its_key(change: dict[str, Any], says: str) -> None:
    (fault,) = _faults(merged(_card(), change))
    assert fault.startswith(says)


@pytest.mark.parametrize("key", ["id", "effective_from", "currency", "packing", "packing.wrap", "finishing.finish"])
def test_a_key_that_is_missing_is_asked_for(key: str) -> None:
    *_, name = key.split(".")
    (fault,) = _faults(without(_card(), key))
    assert fault.endswith(f"'{name}' is a required property")


HEIR = {"id": "heir", "inherits": "parent", "effective_from": date(2026, 7, 1)}


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"work_centers": {"mill": "99 USD/h"}},
        {"packing": {}},
        {"finishing": {"finish": {"anodized": {"area": "64 USD/m2"}}}},
        {"inserts": {"bushing": {"M12": {"breaks": [{"from": 1, "price": "9 USD/piece"}]}}}},
    ],
    ids=repr,
)
def test_a_card_that_inherits_states_what_it_changes_and_no_more(change: dict[str, Any]) -> None:
    assert _faults(HEIR | change) == []
    assert _faults(without(HEIR | change, "inherits")) != []


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"packing": {"paper": "1 USD/m2"}}, "$.packing: Additional properties are not allowed"),
        ({"inherits": 7}, "$.inherits: 7 is not of type 'string'"),
        # A list replaces the inherited one whole, so that its places are complete.
        ({"inserts": {"bushing": {"M12": {"breaks": [{"from": 1}]}}}}, "$.inserts.bushing.M12.breaks[0]: 'price' is"),
    ],
    ids=repr,
)
def test_a_card_that_inherits_is_held_to_all_else(change: dict[str, Any], says: str) -> None:
    (fault,) = _faults(HEIR | change)
    assert fault.startswith(says)


@pytest.mark.parametrize("key", ["id", "effective_from"])
def test_an_heir_needs_a_name_and_a_date_of_its_own(key: str) -> None:
    (fault,) = _faults(without(HEIR, key))
    assert fault.endswith(f"'{key}' is a required property")


@pytest.mark.parametrize("kind", [*FIGURES, Length], ids=lambda kind: kind.__name__)
def test_a_figure_is_text_whose_description_names_the_unit_by_an_example_that_loads(kind: type) -> None:
    figure = _of(kind)
    assert figure["type"] == "string"
    (example,) = re.findall(r'such as "([^"]+)"', figure["description"].split(" or ")[0])
    assert re.search(figure["pattern"], example)
    money_hook("USD")(kind, example)
    assert not re.search(figure["pattern"], "5 apples, freshly picked")


@pytest.mark.parametrize("kind", ["card", "shop"])
def test_patterns_are_of_the_dialect_that_json_schema_has(kind: str) -> None:
    # JSON Schema takes the patterns of ECMA-262, which knows ^ and $ and neither of Python's \A and \Z (from memory).
    patterns = re.findall(r'"pattern": "(.*?)"', json.dumps(_schema(kind)))
    assert len(patterns) > 10
    assert all(pattern.startswith("^") and pattern.endswith("$") for pattern in patterns)


def test_money_is_described_by_what_it_is_per() -> None:
    prices = _schema()["properties"]["stock"]["properties"]["price"]
    kilogram = prices["additionalProperties"]["additionalProperties"]
    assert kilogram["description"] == 'money per kg, such as "9.40 USD/kg"'


class PerMetre(Rate):
    """Money per metre, which no module that is shipped charges."""

    unit = "m"


class Coat(Struct, forbid_unknown_fields=True):
    """A coat, and the coat below it."""

    rail: PerMetre
    title: str
    items: tuple[PerPiece, ...]
    within: "Coat | None" = None


def _of(kind: Any) -> dict[str, Any]:
    """The schema of a field of some type."""
    odd = replace(module(list), rates=msgspec.defstruct("Odd", [("field", kind)]))
    return _schema(modules={"odd": odd})["properties"]["odd"]["properties"]["field"]


def test_what_a_third_partys_module_declares_is_in_the_schema_whatever_its_names() -> None:
    schema = _schema(modules={"powder-coat.v2": replace(module(list), rates=Coat)})
    coat = {"rail": "4.50 USD/m", "title": "Matt", "items": ["1 USD/piece"], "within": {}}
    assert _faults(_card() | {"powder-coat.v2": coat}, schema) == []
    (missing,) = _faults(_card(), schema)
    assert missing == "$: 'powder-coat.v2' is a required property"
    assert _faults(_card() | {"powder-coat.v2": without(coat, "title")}, schema) != []
    assert _faults(HEIR | {"powder-coat.v2": without(coat, "title")}, schema) == []
    assert "money per m," in json.dumps(schema)


def test_a_type_that_nobody_can_write_has_no_schema() -> None:
    with pytest.raises(TypeError, match="Path"):
        _of(Path)
