"""A plugin's project as if it were installed in this process: its packages and entry points on the path."""

import shutil
import sys
import tomllib
from pathlib import Path

import pytest

from tests.plates import installation


def put(project: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Lay a project's packages and metadata into a folder that is put on the path for one test."""
    installation()  # what is remembered as installed must not hold this
    about = tomllib.loads((project / "pyproject.toml").read_text())["project"]
    info = folder / f"{about['name'].replace('-', '_')}-{about['version']}.dist-info"
    info.mkdir(parents=True)
    (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {about['name']}\nVersion: {about['version']}\n")
    groups = about["entry-points"].items()
    lines = [[f"[{group}]", *(f"{name} = {value}" for name, value in named.items())] for group, named in groups]
    (info / "entry_points.txt").write_text("\n".join(line for group in lines for line in group) + "\n")
    monkeypatch.syspath_prepend(folder)
    for package in (project / "src").iterdir():
        shutil.copytree(package, folder / package.name)
        # Each test lays its own package out, so that none may be remembered from another.
        for module in [name for name in sys.modules if name.partition(".")[0] == package.name]:
            monkeypatch.delitem(sys.modules, module)
