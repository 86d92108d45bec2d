"""Every object against the published schema of its kind, with no field that the schema does not know.

Source of the schemas: the OpenAPI documents of Kubernetes, as the package kubernetes-validate carries them, and that of
the Compose specification, as check-jsonschema carries it.
"""

import subprocess
import sys
from pathlib import Path

import kubernetes_validate
import pytest

from tests.deploy.manifests import DEPLOY, KUBERNETES, Manifest, builder, built, filled_overlay, read, resources

# The oldest version whose schemas know every field used, and the newest that the package knows.
VERSIONS = ("1.31", kubernetes_validate.latest_version())


def _valid(manifest: Manifest, version: str) -> None:
    kubernetes_validate.validate(manifest, version, strict=True)


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("path", resources(), ids=lambda path: path.name)
def test_each_file_is_valid(path: Path, version: str) -> None:
    _valid(read(path), version)


def test_every_manifest_is_listed_in_its_kustomization() -> None:
    beside = {path for path in KUBERNETES.glob("*/*.yaml") if path.name != "kustomization.yaml"}
    assert beside == set(resources())


def test_a_field_that_kubernetes_does_not_know_is_noticed() -> None:
    deployment = read(KUBERNETES / "base" / "deployment.yaml")
    deployment["spec"]["template"]["spec"]["containers"][0]["readOnly"] = True
    with pytest.raises(kubernetes_validate.ValidationError):
        _valid(deployment, VERSIONS[-1])


@pytest.mark.skipif(builder() is None, reason="neither kustomize nor kubectl is on this machine")
def test_the_example_overlay_builds_to_valid_objects_whose_references_all_lead_somewhere(tmp_path: Path) -> None:
    command = builder()
    assert command
    objects = built(filled_overlay(tmp_path), command)
    for manifest in objects:
        _valid(manifest, VERSIONS[-1])
    names = {(manifest["kind"], manifest["metadata"]["name"]) for manifest in objects}
    (deployment,) = [manifest for manifest in objects if manifest["kind"] == "Deployment"]
    used = set()
    for volume in deployment["spec"]["template"]["spec"]["volumes"]:
        if "configMap" in volume:
            used.add(("ConfigMap", volume["configMap"]["name"]))
        if "secret" in volume:
            used.add(("Secret", volume["secret"]["secretName"]))
    # None is left over either.
    assert used == {name for name in names if name[0] in {"ConfigMap", "Secret"}}
    assert {manifest["metadata"].get("namespace") for manifest in objects if manifest["kind"] != "Namespace"} == {
        manifest["metadata"]["name"] for manifest in objects if manifest["kind"] == "Namespace"
    }


def test_the_compose_file_is_valid() -> None:
    check = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", "vendor.compose-spec"]
    done = subprocess.run([*check, DEPLOY / "compose.yaml"], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stdout
