"""The lock files: complete, in agreement with each other, and bound to no place to download from."""

import re

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.supply.locks import PROJECT, ROOT, names, pins

LOCKS = ("requirements.lock", "requirements-build.lock", "requirements-dev.lock")


def _wanted(requirements: list[str]) -> set[str]:
    return {canonicalize_name(Requirement(requirement).name) for requirement in requirements}


@pytest.mark.parametrize("lock", LOCKS)
def test_each_requirement_is_one_version_with_hashes(lock: str) -> None:
    for pin, hashes in pins(lock).items():
        assert [specifier.operator for specifier in Requirement(pin).specifier] == ["=="]
        assert hashes
        assert all(re.fullmatch(r"sha256:[0-9a-f]{64}", digest) for digest in hashes)


@pytest.mark.parametrize("lock", LOCKS)
def test_no_lock_names_a_host(lock: str) -> None:
    assert "://" not in (ROOT / lock).read_text()


@pytest.mark.parametrize("lock", LOCKS[:2])
def test_the_dev_lock_holds_the_smaller_ones(lock: str) -> None:
    # Whatever their markers: tests may need a part on more systems than the service does.
    dev = {pin.partition(" ;")[0]: hashes for pin, hashes in pins("requirements-dev.lock").items()}
    for pin, hashes in pins(lock).items():
        assert dev[pin.partition(" ;")[0]] == hashes


@pytest.mark.parametrize(
    ("lock", "wanted"),
    [
        ("requirements.lock", PROJECT["project"]["dependencies"]),
        ("requirements-build.lock", PROJECT["dependency-groups"]["build"]),
        (
            "requirements-dev.lock",
            [*PROJECT["dependency-groups"]["dev"], *PROJECT["dependency-groups"]["tables"]],
        ),
    ],
)
def test_everything_asked_for_is_locked(lock: str, wanted: list[str]) -> None:
    assert _wanted(wanted) <= names(lock)
