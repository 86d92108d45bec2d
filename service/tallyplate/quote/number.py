"""The number of a quote: derived from all that it says, so that the same quote made twice is the same quote."""

from hashlib import sha256
from typing import Final

import msgspec
from msgspec.structs import replace

from tallyplate.quote.content import Quote

ALPHABET: Final = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Base 32 without I, L, O and U (Douglas Crockford's), to be read out on the phone; from memory."""

GROUPS: Final = 3
GROUP: Final = 4
"""Twelve characters are 60 bits: among a million quotes two share a number with a chance of one in two million."""


def numbered(quote: Quote) -> Quote:
    """A quote with its number, which is a digest of everything else that it says."""
    content = msgspec.json.encode(replace(quote, number=""))
    left = int.from_bytes(sha256(content).digest()[:8])
    groups = []
    for _ in range(GROUPS):
        signs = ""
        for _ in range(GROUP):
            left, sign = divmod(left, len(ALPHABET))
            signs += ALPHABET[sign]
        groups.append(signs)
    return replace(quote, number="-".join(["Q", *groups]))
