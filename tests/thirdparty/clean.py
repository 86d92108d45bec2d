"""Clean environments, quickly: what some requirements name, linked from what is installed here, and nothing else.

What is installed came from the lock file. No index is asked, and no environment of a test sees this one.
"""

import subprocess
import sys
from collections.abc import Mapping
from importlib.metadata import Distribution, distribution
from pathlib import Path
from typing import Final

from packaging.requirements import Requirement

from tests.plates import ROOT

QUILLAN: Final = ROOT / "tests" / "thirdparty" / "quillan"

SERVICE: Final = "tallyplate[testkit]"
"""The service with its kit."""


def link(folder: Path, *wanted: str) -> None:
    """Link what some requirements need into a folder for the path, but not the service, which is installed."""
    for one in required(*wanted):
        if one.name != "tallyplate":
            tops = {file.parts[0] for file in one.files or ()} - {"..", "__pycache__"}
            for top in tops:
                (folder / top).symlink_to(str(one.locate_file(top)))


def required(*wanted: str) -> list[Distribution]:
    """The distributions that some requirements need, themselves among them."""
    found: dict[str, Distribution] = {}
    seen: set[str] = set()
    todo = list(wanted)
    while todo:
        requirement = Requirement(todo.pop())
        one = distribution(requirement.name)
        for extra in ("", *requirement.extras):
            if f"{one.name}[{extra}]" not in seen:
                seen.add(f"{one.name}[{extra}]")
                found[one.name] = one
                todo += [text for text in one.requires or () if _applies(Requirement(text), extra)]
    return list(found.values())


def _applies(requirement: Requirement, extra: str) -> bool:
    """Whether a requirement is of an extra, or where that is empty, of the distribution itself."""
    marker = requirement.marker
    return marker.evaluate({"extra": extra}) if marker else not extra


def wheels(folder: Path, *projects: Path) -> list[Path]:
    """Newly built wheels of some projects, in a folder of their own."""
    build = [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(folder)]
    for project in projects:
        done = subprocess.run(build, cwd=project, capture_output=True, text=True, timeout=60, check=False)
        assert done.returncode == 0, done.stderr
    built = list(folder.glob("*.whl"))
    assert len(built) == len(projects)
    return built


def alone(*first: Path) -> Mapping[str, str]:
    """Variables for commands that see some folders of programs, and no index of packages."""
    return {
        "PATH": ":".join([*map(str, first), "/usr/bin", "/bin"]),
        "LANG": "C.UTF-8",
        "PIP_DISABLE_PIP_VERSION_CHECK": "1",
        "PIP_NO_CACHE_DIR": "1",
        "PIP_NO_INDEX": "1",
        "PIP_QUIET": "1",
    }
