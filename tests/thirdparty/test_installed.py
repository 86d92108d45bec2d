"""A third party's package in a clean environment beside ours: built, installed, tested, served, priced, documented."""

import shutil
import subprocess
import sys
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import httpx
import pytest
from jsonschema_rs import Draft202012Validator

from tests.plates import MINIMAL, ROOT
from tests.serving import serving
from tests.thirdparty import clean

pytestmark = pytest.mark.slow

CORNER: dict[str, Any] = {
    "plate": {
        "family": "corner",
        "length": "24 in",
        "width": "400 mm",
        "notch": {"length": "200 mm", "width": "6 in"},
        "material": "steel-1018",
        "holding_screw": "M12",
    },
    "quantity": 3,
}


@pytest.fixture(scope="module")
def environment(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A virtual environment of two wheels, ours and the third party's, and what those name."""
    made, wheels, linked = (tmp_path_factory.mktemp(name) for name in ("environment", "wheels", "linked"))
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", made], check=True, timeout=60)
    clean.link(linked, clean.SERVICE)
    (packages,) = made.glob("lib/*/site-packages")
    (packages / "linked.pth").write_text(f"{linked}\n")
    both = clean.wheels(wheels, ROOT, clean.QUILLAN)
    install = [sys.executable, "-m", "pip", "--python", str(made / "bin" / "python"), "install", *map(str, both)]
    done = subprocess.run(install, env=clean.alone(), capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return made


@pytest.fixture(scope="module")
def served(environment: Path) -> Iterator[str]:
    """The address of the service in that environment."""
    with serving(executable=str(environment / "bin" / "tallyplate")) as address:
        yield address


def test_the_packages_own_tests_pass_where_it_is_installed(environment: Path, tmp_path: Path) -> None:
    shutil.copytree(clean.QUILLAN / "tests", tmp_path, dirs_exist_ok=True)
    command = [str(environment / "bin" / "python"), "-m", "pytest", "-q", "-p", "no:cacheprovider"]
    done = subprocess.run(
        command, env=clean.alone(), cwd=tmp_path, capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_its_family_is_priced_over_http(served: str) -> None:
    answer = httpx.post(f"{served}/v1/prices", json=CORNER)
    assert answer.status_code == 200, answer.text
    price = answer.json()
    assert Decimal(price["total"]) == sum(Decimal(line["amount"]) for line in price["lines"])
    assert {"stock", "holes", "mounting", "serial_plates", "margin"} <= {line["module"] for line in price["lines"]}
    assert price["versions"]["plugins"]["quillan-plates"] == "1.2.0"


def test_its_refusal_names_the_field(served: str) -> None:
    thin = {"plate": {**CORNER["plate"], "notch": {"length": "23 in", "width": "6 in"}}}
    answer = httpx.post(f"{served}/v1/prices", json=thin)
    assert answer.status_code == 422
    assert [fault["pointer"] for fault in answer.json()["errors"]] == ["/plate/notch/length"]


def test_its_module_has_its_lines_on_a_plate_of_ours(served: str) -> None:
    price = httpx.post(f"{served}/v1/prices", json=MINIMAL).json()
    lines = {line["item"]: line["amount"] for line in price["lines"] if line["module"] == "serial_plates"}
    assert lines["serial plates"] == "6.80"
    assert lines["entry in the register"] == "35.00"


def test_its_family_is_offered_with_a_schema_that_takes_its_plates(served: str) -> None:
    offers = {offer["name"]: offer for offer in httpx.get(f"{served}/v1/families").json()}
    schema = Draft202012Validator(offers["corner"]["schema"])
    assert schema.is_valid(CORNER["plate"])
    assert not schema.is_valid({**CORNER["plate"], "notch": {"length": 200, "width": "6 in"}})


def test_its_family_is_one_of_the_documents_plates_told_apart_by_name(served: str) -> None:
    document = httpx.get(f"{served}/openapi.json").json()
    schemas = document["components"]["schemas"]
    plate = schemas["PriceRequest"]["properties"]["plate"]
    reference = plate["discriminator"]["mapping"]["corner"]
    assert plate["discriminator"]["propertyName"] == "family"
    assert {"$ref": reference} in plate["anyOf"]
    assert schemas[reference.rpartition("/")[2]]["properties"]["family"]["enum"] == ["corner"]
