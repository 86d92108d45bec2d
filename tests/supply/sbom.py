"""The parts of the service as a CycloneDX document, made from the lock: `make sbom`.

Licences and dependencies are what the installed packages say. The same lock gives the same bytes: there is no time in
it, and its serial number is derived from what it says. A part's hashes are those of the files of its version, any of
which may be the one that is installed.
"""

import sys
from collections.abc import Iterable, Sequence
from importlib.metadata import PackageNotFoundError, metadata, requires
from itertools import chain
from pathlib import Path
from uuid import NAMESPACE_URL, uuid5

from cyclonedx.contrib.license.factories import LicenseFactory
from cyclonedx.model import HashAlgorithm, HashType
from cyclonedx.model.bom import Bom
from cyclonedx.model.component import Component, ComponentType
from cyclonedx.model.license import License
from cyclonedx.output.json import JsonV1Dot6
from packageurl import PackageURL
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.supply.licences import stated
from tests.supply.locks import PROJECT, pins

LOCK = "requirements.lock"


def document() -> str:
    """The document as JSON."""
    project = PROJECT["project"]
    root = Component(
        name=project["name"],
        version=project["version"],
        type=ComponentType.APPLICATION,
        bom_ref=project["name"],
        licenses=[LicenseFactory().make_from_string(project["license"])],
    )
    parts = [_part(pin, hashes) for pin, hashes in pins(LOCK).items()]
    bom = Bom(components=parts)
    bom.metadata.component = root
    extras = chain.from_iterable(project["optional-dependencies"].values())
    bom.register_dependency(root, _named(parts, map(_name, chain(project["dependencies"], extras))))
    for part in parts:
        bom.register_dependency(part, _named(parts, _needs(part.name)))
    # The time of making is left out, so that the same lock gives the same bytes.
    bom.metadata.timestamp = None  # type: ignore[assignment]
    bom.serial_number = uuid5(NAMESPACE_URL, repr(sorted((pin, sorted(hashes)) for pin, hashes in pins(LOCK).items())))
    return JsonV1Dot6(bom).output_as_string(indent=2) + "\n"


def _name(requirement: str) -> str:
    return canonicalize_name(Requirement(requirement).name)


def _named(parts: Sequence[Component], wanted: Iterable[str]) -> list[Component]:
    """The parts of some names, as far as they are locked; of a name that is locked once a system, all of them."""
    wanted = set(wanted)
    return [part for part in parts if part.name in wanted]


def _part(pin: str, hashes: set[str]) -> Component:
    requirement = Requirement(pin)
    name, version = _name(pin), next(iter(requirement.specifier)).version
    return Component(
        name=name,
        version=version,
        bom_ref=f"{name}@{version}",
        purl=PackageURL("pypi", name=name, version=version),
        licenses=_licences(name),
        hashes=[HashType(alg=HashAlgorithm.SHA_256, content=digest.removeprefix("sha256:")) for digest in hashes],
    )


def _licences(name: str) -> list[License]:
    """What a part says of its licence; nothing of one for another system, which is not installed."""
    try:
        return [LicenseFactory().make_from_string(stated(name, metadata(name)))]
    except PackageNotFoundError:
        return []


def _needs(name: str) -> set[str]:
    """What a part asks for by its own metadata, extras of its too; nothing of a part for another system."""
    try:
        wanted = requires(name) or []
    except PackageNotFoundError:
        return set()
    # Whether somebody asked for an extra is not looked at: what is not locked is no part.
    return {*map(_name, wanted)}


if __name__ == "__main__":
    path = Path(sys.argv[1])
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(document(), encoding="utf-8")
    print(f"{path}: {len(pins(LOCK))} parts")
