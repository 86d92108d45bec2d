"""A coverage-guided fuzzer on what reads a stranger's bytes: `python -m tests.hostile.fuzz TARGET [libFuzzer options]`.

A target that raises anything but a refusal, or takes longer than `-timeout` seconds, ends it with the input that did
it. `-runs=N` or `-max_total_time=SECONDS` bound it. It starts from good examples; a folder named after the options
keeps what it finds interesting.
"""

import json
import sys
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

import atheris

atheris.enabled_hooks.add("str")
with atheris.instrument_imports(include=["tallyplate", "tallyplate_plugins"]):
    from tallyplate.access.settings import read_access
    from tallyplate.access.tokens import Bad, parts
    from tallyplate.contract import Refusal
    from tallyplate.http.negotiation import negotiated
    from tallyplate.http.problems import encoded, refused
    from tallyplate.inquiry import decode
    from tallyplate.quote.keys import read_keys
    from tallyplate.units import UnitError, length
    from tests.plates import ROOT, installation

HERE = installation()
"""The installation of the demonstration; plugins are found when it is made."""


def _request(octets: bytes) -> None:
    """A body of a price request, all the way."""
    HERE.price_json(octets)


def _token(octets: bytes) -> None:
    with suppress(Bad):
        parts(octets.decode("latin-1"))


def _length(octets: bytes) -> None:
    with suppress(UnitError):
        length(octets.decode("utf-8", errors="surrogateescape"))


def _accept(octets: bytes) -> None:
    negotiated([octets.decode("latin-1")], ("application/json", "text/csv"))


TARGETS: Final[Mapping[str, Callable[[bytes], object]]] = {
    "json": decode,
    "request": _request,
    "length": _length,
    "token": _token,
    "access-file": read_access,
    "key-set": read_keys,
    "accept": _accept,
}

_REQUESTS: Final = [file.read_bytes() for file in sorted((ROOT / "openapi" / "examples").glob("*.json"))]
_PUBLISHED: Final = json.dumps({"keys": [{"kid": "a", "kty": "OKP", "crv": "Ed25519", "x": "A" * 43}]}).encode()

SEEDS: Final[Mapping[str, list[bytes]]] = {
    "json": [*_REQUESTS, b'{"a": 1, "a": 2}', b"[" * 100 + b"]" * 100],
    "request": _REQUESTS,
    "length": [b"600 mm", b"5/8 in", b"1 7/8 in", b"23.622 in", b"1e3 mm", b"9**9 in"],
    "token": [b"eyJhbGciOiJFUzI1NiIsImtpZCI6ImEifQ.eyJpc3MiOiJhIn0.AAAA", b"a.b.c"],
    "access-file": [json.dumps({"keys": [{"id": "a", "sha256": "0" * 64, "scopes": ["price"]}]}).encode()],
    "key-set": [_PUBLISHED],
    "accept": [b"text/html;q=0.5, */*;q=0.1", b'text/csv; charset="utf-8"'],
}
"""Good examples, from which a fuzzer finds its way."""


def main() -> None:
    """Fuzz one target."""
    name = sys.argv[1]
    target = TARGETS[name]

    def once(octets: bytes) -> None:
        try:
            target(octets)
        except Refusal as refusal:
            # It says something, and can itself be sent.
            encoded(refused(refusal))

    with TemporaryDirectory() as seeds:
        for place, seed in enumerate(SEEDS[name]):
            (Path(seeds) / str(place)).write_bytes(seed)
        atheris.Setup([sys.argv[0], *sys.argv[2:], seeds], once)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
