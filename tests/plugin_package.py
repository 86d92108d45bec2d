"""Distributions as strangers install them: a module and its metadata in a folder on the path."""

import sys
from collections.abc import Mapping
from pathlib import Path

import pytest

from tests.plates import installation

PAINT = """
from tallyplate.contract import CONTRACT, Charge, CostModule, PerPiece, Stage

def charges(build, order, shop, rates, earlier):
    yield Charge("a coat of paint", 1, PerPiece(500, 2))

MODULE = CostModule(contract=CONTRACT, stage=Stage.MAKE, charges=charges)
"""
"""A cost module that keeps the contract."""


def install(
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    source: str,
    entries: Mapping[str, Mapping[str, str]],
    name: str = "harrow_paint",
) -> None:
    """Put a distribution of one module on the path, with entry points as group -> name -> value."""
    installation()  # what is remembered as installed must not hold this
    (folder / f"{name}.py").write_text(source)
    info = folder / f"{name}-2.5.dist-info"
    info.mkdir()
    (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: 2.5\n")
    (info / "entry_points.txt").write_text(
        "".join(
            f"[{group}]\n" + "".join(f"{entry} = {value}\n" for entry, value in named.items())
            for group, named in entries.items()
        )
    )
    monkeypatch.syspath_prepend(folder)
    # Each test writes its own module, so that none may be remembered from another.
    monkeypatch.delitem(sys.modules, name, raising=False)
