"""The files of a plugin to start from: a package that installs, prices and tests itself before a line is changed."""

import re
from collections.abc import Mapping
from importlib.resources import files
from string import Template
from typing import Final

KINDS: Final = ("family", "cost")

NAME: Final = re.compile(r"[a-z][a-z0-9]*(?:_[a-z0-9]+)*")
"""A plugin's name stands in JSON, as a section of TOML files and in the name of a Python package."""

LONGEST: Final = 24
"""Longest name in characters; with more, the lines of the files grow beyond what formatters leave alone."""

LAID_OUT: Final[Mapping[str, Mapping[str, str]]] = {
    "family": {
        "pyproject.toml": "pyproject.toml",
        "README.md": "family/README.md",
        "src/$package/__init__.py": "family/plugin.py",
        "src/$package/figures.toml": "family/figures.toml",
        "src/$package/py.typed": "py.typed",
        "tests/test_$name.py": "family/test.py",
    },
    "cost": {
        "pyproject.toml": "pyproject.toml",
        "README.md": "cost/README.md",
        "src/$package/__init__.py": "cost/plugin.py",
        "src/$package/rates.toml": "cost/rates.toml",
        "src/$package/figures.toml": "cost/figures.toml",
        "src/$package/py.typed": "py.typed",
        "tests/test_$name.py": "cost/test.py",
    },
}
"""By kind: each file that is written, and the template that it is written from."""

ENTRIES: Final = {"family": ("tallyplate.families", "FAMILY"), "cost": ("tallyplate.costs", "MODULE")}
"""By kind: the entry point group, and the name of the plugin in its package."""


def folder(name: str) -> str:
    """The folder that a plugin's files stand in, which is the name of its distribution too."""
    return f"tallyplate-{name.replace('_', '-')}"


def rendered(name: str, kind: str) -> dict[str, str]:
    """The files of a plugin of a good name and one of the `KINDS`, by their paths in its folder."""
    group, value = ENTRIES[kind]
    words = {
        "name": name,
        "words": name.replace("_", " "),
        "title": name.replace("_", " ").capitalize(),
        "cls": "".join(map(str.capitalize, name.split("_"))) + "Plate",
        "package": f"tallyplate_{name}",
        "distribution": folder(name),
        "group": group,
        "value": value,
        "kind": {"family": "plate family", "cost": "cost module"}[kind],
    }
    return {
        Template(path).substitute(words): Template(_template(template)).substitute(words)
        for path, template in LAID_OUT[kind].items()
    }


def _template(path: str) -> str:
    return files(__package__).joinpath(f"{path}.tmpl").read_text("utf-8")
