"""The manifests as data, and the overlay built as `kubectl apply -k` builds it."""

import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).parents[2]
DEPLOY = ROOT / "service" / "deploy"
KUBERNETES = DEPLOY / "kubernetes"
CARDS = ROOT / "plugins" / "tallyplate_plugins" / "data"

Manifest = dict[str, Any]

BUILDERS = (("kustomize", "build"), ("kubectl", "kustomize"))
"""Commands that build a kustomization; none is a package that a lock could hold."""


def builder() -> tuple[str, str] | None:
    """The first of them on this machine."""
    return next((command for command in BUILDERS if shutil.which(command[0])), None)


def read(path: Path) -> Manifest:
    """A file with one document."""
    content: Manifest = yaml.safe_load(path.read_text(encoding="utf-8"))
    return content


def resources() -> list[Path]:
    """The files of both kustomizations that hold Kubernetes objects."""
    return [
        path.parent / name
        for path in sorted(KUBERNETES.glob("*/kustomization.yaml"))
        for name in read(path)["resources"]
        if name.endswith(".yaml")
    ]


def of_kind(kind: str) -> Manifest:
    """The one object of a kind."""
    (found,) = [manifest for manifest in map(read, resources()) if manifest["kind"] == kind]
    return found


def pod() -> Manifest:
    """What the deployment says of a pod."""
    spec: Manifest = of_kind("Deployment")["spec"]["template"]["spec"]
    return spec


def container() -> Manifest:
    """Its one container."""
    (found,) = pod()["containers"]
    assert isinstance(found, dict)
    return found


def filled_overlay(folder: Path) -> Path:
    """A copy of the example overlay with the demonstration's cards, as its head says to make one."""
    shutil.copytree(KUBERNETES, folder, dirs_exist_ok=True)
    shutil.copytree(CARDS, folder / "example", dirs_exist_ok=True)
    return folder / "example"


def built(overlay: Path, command: tuple[str, str]) -> list[Manifest]:
    """What an overlay comes to."""
    done = subprocess.run([*command, overlay], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr
    return list(yaml.safe_load_all(done.stdout))


def dockerfile(instruction: str) -> str:
    """The arguments of the last instruction of that name in the Dockerfile."""
    text = (ROOT / "Dockerfile").read_text(encoding="utf-8").replace("\\\n", " ")
    return re.findall(rf"^{instruction} +(.*)$", text, flags=re.MULTILINE)[-1]
