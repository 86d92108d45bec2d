"""The lock files: complete, in agreement with each other, and bound to no place to download from."""

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parent.parent
LOCKS = ("requirements.lock", "requirements-build.lock", "requirements-dev.lock")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())


def _pins(lock: str) -> dict[str, set[str]]:
    """Map each pinned requirement, marker included, to its hashes."""
    pins = {}
    for entry in (ROOT / lock).read_text().replace("\\\n", " ").splitlines():
        requirement, *hashes = re.split(r"\s+--hash=", entry.strip())
        pins[requirement] = set(hashes)
    return pins


def _names(lock: str) -> set[str]:
    return {canonicalize_name(Requirement(pin).name) for pin in _pins(lock)}


def _wanted(requirements: list[str]) -> set[str]:
    return {canonicalize_name(Requirement(requirement).name) for requirement in requirements}


@pytest.mark.parametrize("lock", LOCKS)
def test_each_requirement_is_one_version_with_hashes(lock: str) -> None:
    for pin, hashes in _pins(lock).items():
        assert [specifier.operator for specifier in Requirement(pin).specifier] == ["=="]
        assert hashes
        assert all(re.fullmatch(r"sha256:[0-9a-f]{64}", digest) for digest in hashes)


@pytest.mark.parametrize("lock", LOCKS)
def test_no_lock_names_a_host(lock: str) -> None:
    assert "://" not in (ROOT / lock).read_text()


@pytest.mark.parametrize("lock", LOCKS[:2])
def test_the_dev_lock_holds_the_smaller_ones(lock: str) -> None:
    dev = _pins("requirements-dev.lock")
    for pin, hashes in _pins(lock).items():
        assert dev[pin] == hashes


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
    assert _wanted(wanted) <= _names(lock)
