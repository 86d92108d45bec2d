"""The library call, JSON bytes to JSON bytes, against a bare decode and encode of the same bytes."""

import itertools
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec

import tallyplate
from tallyplate.inquiry import decode, read
from tests.bench.ratios import Said, fastest, row

PLATE = Path(__file__).parents[2] / "openapi" / "examples" / "plate.json"


def report() -> Iterator[Said]:
    """Ratios of the library call, and of counting holes."""
    installation = tallyplate.load()
    request: dict[str, Any] = json.loads(PLATE.read_text(encoding="utf-8"))
    body = json.dumps(request).encode()
    answer = installation.price(request)
    decoder = msgspec.json.Decoder()
    quantities, lengths = itertools.cycle(range(1, 5000)), itertools.count(1)

    def floor() -> object:
        decoder.decode(body)
        return msgspec.json.encode(answer)

    def read_and_written() -> bytes:
        read(decode(body), installation.families)
        return msgspec.json.encode(answer)

    def other_quantity() -> bytes:
        return installation.price_json(body.replace(b'"quantity": 2', b'"quantity": %d' % next(quantities)))

    def new_plate() -> bytes:
        return installation.price_json(
            body.replace(b'"700 mm"', b'"%d.%03d mm"' % divmod(700_000 + next(lengths), 1000))
        )

    best = fastest(
        {
            "floor": floor,
            "again": lambda: installation.price_json(body),
            "quantity": other_quantity,
            "new": new_plate,
            "read": read_and_written,
        }
    )
    yield f"floor: {best['floor'] * 1e6:.1f} us for {len(body)} bytes in, {len(msgspec.json.encode(answer))} bytes out"
    yield row("library call / bare decode + encode: the same request again", best["again"] / best["floor"], "at most 8")
    yield row("  the same plate in a quantity not asked before", best["quantity"] / best["floor"], "")
    yield row("  a plate never seen before", best["new"] / best["floor"], "")
    yield row(
        "  of which the request read and the answer written, and nothing between", best["read"] / best["floor"], ""
    )
    yield from _holes(installation)


def _holes(installation: tallyplate.Installation) -> Iterator[Said]:
    """A plate with a million holes against one with a hundred, neither seen before."""
    lengths = itertools.count(1)

    def request(pitch: float) -> bytes:
        plate = {
            "family": "rectangular",
            "length": f"{1190 + next(lengths) / 1e4:.4f} mm",
            "width": "1190 mm",
            "material": "steel-1018",
            "pattern": {"pitch": f"{pitch} mm", "margin": "0.5 mm", "screw": "M10", "arrangement": "combination"},
            "mounting": {"surface": "none"},
        }
        return json.dumps({"plate": plate}).encode()

    best = fastest(
        {
            "hundred": lambda: installation.price_json(request(130)),
            "million": lambda: installation.price_json(request(1.189)),
        }
    )
    yield row("a plate with 1,000,000 holes / one with 100", best["million"] / best["hundred"], "at most 1.5")
