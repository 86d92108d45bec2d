"""Which of several formats an answer has, by Accept as RFC 9110 defines it, and the headers that go with it."""

import re
from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple
from unicodedata import normalize

from tallyplate.contract import Fault, Refusal

MOST_SIGNS: Final = 4096
"""Signs of an Accept header that are looked at."""

MOST_NAMED: Final = 80
"""Signs of a file's name."""

_WORD = r"[!#$%&'*+\-.^_`|~0-9A-Za-z]+"
_QUOTED = r'"(?:[^"\\]|\\.)*"'
_ELEMENT = re.compile(rf'(?:[^",]|{_QUOTED})+')
_RANGE = re.compile(rf"\s*({_WORD})/({_WORD})\s*((?:;[^;]*)*)\Z")
_PARAMETER = re.compile(rf";\s*(?:({_WORD})=({_WORD}|{_QUOTED}))?\s*")
_QUALITY = re.compile(r"0(?:\.[0-9]{0,3})?\Z|1(?:\.0{0,3})?\Z")


class NotAcceptable(Refusal):
    """A request that accepts none of the formats on offer."""

    code = "not-acceptable"


class MediaRange(NamedTuple):
    """A media range of an Accept header, or a media type on offer; `quality` counts thousandths."""

    kind: str
    subtype: str
    parameters: frozenset[tuple[str, str]]
    quality: int

    def takes(self, offered: "MediaRange") -> bool:
        """Whether an offered type lies within this range: it has all of the range's parameters."""
        return (
            self.kind in {"*", offered.kind}
            and self.subtype in {"*", offered.subtype}
            and self.parameters <= offered.parameters
        )

    @property
    def closeness(self) -> tuple[bool, bool, int]:
        """The closest range that takes a type decides (RFC 9110, section 12.5.1)."""
        return self.kind != "*", self.subtype != "*", len(self.parameters)


def media_range(text: str) -> MediaRange | None:
    """Read one range or type; nothing where it is not well formed."""
    match = _RANGE.match(text)
    if match is None or (match[1] == "*" and match[2] != "*"):
        return None
    pairs: dict[str, str] = {}
    place = 0
    while place < len(match[3]):
        found = _PARAMETER.match(match[3], place)
        if found is None:
            return None
        if found[1]:
            value = re.sub(r"\\(.)", r"\1", found[2][1:-1]) if found[2].startswith('"') else found[2]
            pairs[found[1].lower()] = value.lower()
        place = found.end()
    quality = pairs.pop("q", "1")
    if not _QUALITY.match(quality):
        return None
    return MediaRange(match[1].lower(), match[2].lower(), frozenset(pairs.items()), round(1000 * float(quality)))


def negotiated(accept: Iterable[str], offered: Sequence[str]) -> str:
    """The media type on offer that the fields of an Accept header like best, or the first of those they like equally.

    No header, or an empty one, accepts anything; a range that is not well formed accepts nothing. Raises
    `NotAcceptable`, which names what is on offer.
    """
    header = ",".join(accept)[:MOST_SIGNS]
    if not header.strip(" \t,"):
        return offered[0]
    ranges = [one for one in map(media_range, _ELEMENT.findall(header)) if one]
    liked = {kind: _quality(kind, ranges) for kind in offered}
    best = max(offered, key=liked.__getitem__)
    if not liked[best]:
        raise NotAcceptable(Fault("", f"the header Accept is {header[:80]!r}; accepted: {', '.join(offered)}"))
    return best


def _quality(kind: str, ranges: Sequence[MediaRange]) -> int:
    """How much a type is liked: by the closest range that takes it."""
    offered = media_range(kind)
    taking = [one for one in ranges if offered and one.takes(offered)]
    return max(taking, key=lambda one: one.closeness).quality if taking else 0


def file_name(stem: str, suffix: str) -> str:
    """A name for a file: plain letters, digits, dots and hyphens, whatever the words are that it is made from."""
    plain = normalize("NFKD", stem).encode("ascii", "ignore").decode().lower()
    plain = re.sub(r"[^a-z0-9.]+", "-", plain)[:MOST_NAMED].strip("-.")
    return f"{plain or 'document'}.{suffix}"


def headers(stem: str, suffix: str, tag: str, *, inline: bool = False) -> dict[str, str]:
    """What goes with a negotiated document: its name (RFC 6266), its tag, and what it was chosen by."""
    how = "inline" if inline else "attachment"
    return {
        "content-disposition": f'{how}; filename="{file_name(stem, suffix)}"',
        "etag": tag,
        "vary": "Accept",
        "x-content-type-options": "nosniff",
    }
