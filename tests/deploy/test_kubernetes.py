"""What the manifests say against what the service does: options, ports, probes, limits, users, names."""

import json
from pathlib import Path

import pytest

from tallyplate.cli.main import _parser
from tallyplate.cli.quotes import key_set
from tallyplate.cli.serving import gated
from tallyplate.http.guard import OPEN, SCOPES
from tallyplate.http.limits import read_limits
from tallyplate.rates.files import DataError
from tests.deploy.manifests import KUBERNETES, ROOT, container, dockerfile, of_kind, pod, read
from tests.supply.locks import PROJECT, names

LABELS = {"app.kubernetes.io/name": "tallyplate"}
PROBES = ("startupProbe", "readinessProbe", "livenessProbe")
ARGUMENTS = _parser().parse_args(container()["args"])
EXAMPLE = read(KUBERNETES / "example" / "kustomization.yaml")


def test_the_arguments_are_those_of_the_command_line_and_listen_where_the_port_is() -> None:
    (port,) = container()["ports"]
    assert (ARGUMENTS.host, ARGUMENTS.port) == ("0.0.0.0", port["containerPort"])  # noqa: S104 - in a pod
    assert str(port["containerPort"]) == dockerfile("EXPOSE")
    (service,) = of_kind("Service")["spec"]["ports"]
    (rule,) = of_kind("NetworkPolicy")["spec"]["ingress"]
    assert service["targetPort"] == port["name"] == rule["ports"][0]["port"]


def test_every_file_that_the_arguments_name_is_mounted_and_nothing_else_is() -> None:
    mounts = {mount["mountPath"]: mount["name"] for mount in container()["volumeMounts"]}
    files = {ARGUMENTS.access.parent, ARGUMENTS.quote_keys.parent, ARGUMENTS.limits.parent}
    folders = {ARGUMENTS.data / "rate_cards", ARGUMENTS.data / "shop_data", Path("/tmp")}  # noqa: S108 - a mount
    assert {str(path) for path in files | folders} == set(mounts)
    assert sorted(mounts.values()) == sorted(volume["name"] for volume in pod()["volumes"])
    # One that is mounted by a subPath would not follow its changes.
    assert not [mount for mount in container()["volumeMounts"] if "subPath" in mount]


def test_each_config_map_and_secret_is_generated_and_holds_the_file_that_the_arguments_name() -> None:
    base = read(KUBERNETES / "base" / "kustomization.yaml")
    generated = {
        entry["name"]: {file.rpartition("/")[2] for file in entry.get("files", ())}
        | {literal.partition("=")[0] for literal in entry.get("literals", ())}
        for entry in (*base["configMapGenerator"], *EXAMPLE["configMapGenerator"], *EXAMPLE["secretGenerator"])
    }
    wanted = {}
    for volume in pod()["volumes"]:
        if "emptyDir" not in volume:
            wanted[volume["name"]] = volume.get("configMap", {}).get("name") or volume["secret"]["secretName"]
    assert set(generated) == set(wanted.values())
    for name, path in (
        ("access", ARGUMENTS.access),
        ("quote-keys", ARGUMENTS.quote_keys),
        ("limits", ARGUMENTS.limits),
    ):
        assert generated[wanted[name]] == {path.name}


@pytest.mark.parametrize("probe", PROBES)
def test_each_probe_asks_a_route_of_the_contract_that_needs_no_key(probe: str) -> None:
    asked = container()[probe]["httpGet"]
    contract = json.loads((ROOT / "openapi" / "openapi.json").read_text(encoding="utf-8"))
    assert "get" in contract["paths"][asked["path"]]
    assert SCOPES[asked["path"]] is OPEN
    assert asked["port"] == container()["ports"][0]["name"]


@pytest.mark.parametrize("where", ["base", "example"])
def test_a_pod_has_time_to_drain_and_to_finish(where: str) -> None:
    limits = read_limits(KUBERNETES / where / "limits.toml")
    # A few seconds more, for a busy machine.
    assert pod()["terminationGracePeriodSeconds"] >= limits.drain_seconds + limits.finish_seconds + 5
    # It is seen not to be ready before it stops taking connections, with time to spare for the news to spread.
    readiness = container()["readinessProbe"]
    assert readiness["periodSeconds"] * readiness["failureThreshold"] <= limits.drain_seconds / 2


def test_the_user_is_the_images_and_may_do_nothing() -> None:
    security = pod()["securityContext"]
    assert f"{security['runAsUser']}:{security['runAsGroup']}" == dockerfile("USER")
    assert security["runAsNonRoot"] is True
    assert security["seccompProfile"] == {"type": "RuntimeDefault"}
    assert container()["securityContext"] == {
        "allowPrivilegeEscalation": False,
        "capabilities": {"drop": ["ALL"]},
        "readOnlyRootFilesystem": True,
    }
    assert pod()["automountServiceAccountToken"] is of_kind("ServiceAccount")["automountServiceAccountToken"] is False
    assert pod()["serviceAccountName"] == of_kind("ServiceAccount")["metadata"]["name"]


def test_the_image_is_this_version_and_holds_what_the_arguments_need() -> None:
    version = PROJECT["project"]["version"]
    assert container()["image"] == f"tallyplate:{version}"
    assert [image["newTag"] for image in EXAMPLE["images"]] == [version]
    assert "joserfc" in names("requirements.lock")


def test_everything_that_selects_pods_selects_these() -> None:
    deployment = of_kind("Deployment")
    assert deployment["spec"]["template"]["metadata"]["labels"] == LABELS
    assert deployment["spec"]["selector"]["matchLabels"] == LABELS
    assert of_kind("Service")["spec"]["selector"] == LABELS
    assert of_kind("PodDisruptionBudget")["spec"]["selector"]["matchLabels"] == LABELS
    assert of_kind("NetworkPolicy")["spec"]["podSelector"]["matchLabels"] == LABELS
    assert pod()["topologySpreadConstraints"][0]["labelSelector"]["matchLabels"] == LABELS
    target = of_kind("HorizontalPodAutoscaler")["spec"]["scaleTargetRef"]
    assert target == {key: deployment[key] for key in ("apiVersion", "kind")} | {"name": deployment["metadata"]["name"]}


def test_one_pod_can_always_go() -> None:
    assert (
        of_kind("HorizontalPodAutoscaler")["spec"]["minReplicas"]
        > of_kind("PodDisruptionBudget")["spec"]["maxUnavailable"]
    )


def test_no_pod_starts_with_the_examples_secrets(tmp_path: Path) -> None:
    for entry in EXAMPLE["secretGenerator"]:
        for literal in entry["literals"]:
            name, _, content = literal.partition("=")
            (tmp_path / name).write_text(content, encoding="utf-8")
    with pytest.raises(DataError, match="names nobody"):
        gated(ARGUMENTS.host, tmp_path / ARGUMENTS.access.name)
    with pytest.raises(DataError, match="not JSON"):
        key_set(tmp_path / ARGUMENTS.quote_keys.name)


def test_nothing_beside_the_manifests_gets_into_an_image() -> None:
    assert "service/deploy" in (ROOT / ".dockerignore").read_text(encoding="utf-8").splitlines()
