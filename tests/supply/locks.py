"""The lock files as data."""

import re
import tomllib
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def pins(lock: str) -> dict[str, set[str]]:
    """Map each pinned requirement, marker included, to its hashes."""
    found = {}
    for entry in (ROOT / lock).read_text(encoding="utf-8").replace("\\\n", " ").splitlines():
        requirement, *hashes = re.split(r"\s+--hash=", entry.strip())
        found[requirement] = set(hashes)
    return found


def names(lock: str) -> set[str]:
    """The names of what is pinned."""
    return {canonicalize_name(Requirement(pin).name) for pin in pins(lock)}
