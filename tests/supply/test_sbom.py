import json
import os
import subprocess
import sys

from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator

from tests.supply import sbom
from tests.supply.locks import PROJECT, ROOT, pins


def test_it_is_valid_by_the_published_schema_which_its_library_carries() -> None:
    validator = JsonStrictValidator(SchemaVersion.V1_6)
    assert validator.validate_str(sbom.document()) is None
    assert validator.validate_str(sbom.document().replace('"SHA-256"', '"SHA-257"')) is not None


def test_every_locked_part_is_in_it_with_every_hash_of_the_lock() -> None:
    document = json.loads(sbom.document())
    found = {
        (part["name"], part["version"]): {entry["content"] for entry in part["hashes"]}
        for part in document["components"]
    }
    assert {f"{name}=={version}" for name, version in found} == {pin.partition(" ;")[0] for pin in pins(sbom.LOCK)}
    locked = {digest.removeprefix("sha256:") for hashes in pins(sbom.LOCK).values() for digest in hashes}
    assert set().union(*found.values()) == locked
    assert document["metadata"]["component"]["version"] == PROJECT["project"]["version"]


def test_every_part_is_reached_from_the_service() -> None:
    document = json.loads(sbom.document())
    needs = {entry["ref"]: entry.get("dependsOn", []) for entry in document["dependencies"]}
    reached, waiting = set(), [document["metadata"]["component"]["bom-ref"]]
    while waiting:
        if (part := waiting.pop()) not in reached:
            reached.add(part)
            waiting += needs[part]
    assert reached == set(needs)


def test_another_process_writes_the_same_bytes() -> None:
    program = "from tests.supply import sbom; print(sbom.document(), end='')"
    environment = os.environ | {"PYTHONHASHSEED": "7", "TZ": "Pacific/Auckland"}
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, env=environment, capture_output=True, check=True)
    assert done.stdout.decode() == sbom.document()
