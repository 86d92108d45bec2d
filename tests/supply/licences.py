"""The licence of everything that an installation with all its extras brings along: `make licences`.

Ends with 1 where one is not on the list of those that are allowed, or where a package says nothing.
"""

import sys
from collections.abc import Iterable
from importlib.metadata import PackageMetadata, PackageNotFoundError, distribution

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ALLOWED = frozenset(
    {
        "0BSD",
        "3-Clause BSD License",
        "Apache 2.0",
        "Apache Software License",
        "Apache-2.0",
        "BSD License",
        "BSD-2-Clause",
        "BSD-3-Clause",
        "CC0-1.0",
        "MIT",
        "MIT License",
        "MIT-0",
        "MIT-CMU",
        "PSF-2.0",
        "Public Domain",
        "Python Software Foundation License",
        "Zlib",
        # These ask that changed files of theirs be published, and that a changed font have another name.
        # None is changed here.
        "MPL-1.1",
        "MPL-2.0",
        "Mozilla Public License 2.0 (MPL 2.0)",
        "SIL Open Font License 1.1 (OFL-1.1)",
    }
)
"""As SPDX identifiers and as the words of packages that use none."""

EXAMINED = {
    # Its metadata say "BSD" and no more; its licence file is the one of three clauses.
    "partd": "BSD-3-Clause",
    # Its classifiers list three licences, of which its README lets the user choose one.
    "pyphen": "GPL-2.0-or-later OR LGPL-2.1-or-later OR MPL-1.1",
}
"""What packages with unclear metadata say elsewhere."""


def stated(name: str, metadata: PackageMetadata) -> str:
    """What a package says of its licence; of several classifiers all count."""
    if name in EXAMINED:
        return EXAMINED[name]
    if expressions := metadata.get_all("License-Expression"):
        return " AND ".join(expressions)
    classifiers = [text.rpartition(" :: ")[2] for text in metadata.get_all("Classifier") or () if "License ::" in text]
    return " AND ".join(classifiers) or next(iter(metadata.get_all("License") or ()), "").partition("\n")[0]


def allowed(licence: str) -> bool:
    """Whether a licence is on the list: of those joined by AND each, of those joined by OR one."""
    return all(any(one in ALLOWED for one in part.split(" OR ")) for part in licence.split(" AND "))


def brought_along(package: str, extras: Iterable[str]) -> set[str]:
    """The names of all that a package needs, on this system, itself not included."""
    waiting, seen = [(package, extra) for extra in ("", *extras)], set()
    while waiting:
        name, extra = one = waiting.pop()
        if one in seen:
            continue
        seen.add(one)
        for text in distribution(name).requires or ():
            requirement = Requirement(text)
            if requirement.marker is None or requirement.marker.evaluate({"extra": extra}):
                found = canonicalize_name(requirement.name)
                waiting += [(found, wanted) for wanted in ("", *requirement.extras)]
    return {name for name, _ in seen} - {package}


def main() -> int:
    """Print the list; 1 where something on it is not allowed."""
    refused = []
    for name in sorted(
        brought_along("tallyplate", distribution("tallyplate").metadata.get_all("Provides-Extra") or ())
    ):
        licence = stated(name, distribution(name).metadata)
        print(f"{name:<48}{licence or 'says nothing'}")
        if not allowed(licence):
            refused.append(name)
    if refused:
        print(f"not allowed: {', '.join(refused)}", file=sys.stderr)
    return bool(refused)


if __name__ == "__main__":
    try:
        sys.exit(main())
    except PackageNotFoundError as error:
        sys.exit(f"{error.name}: is not installed, so that its licence is not known")
