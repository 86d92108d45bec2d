"""Prices made long ago are made again, byte for byte, from the cards and shop data that they name.

`tests/replay` keeps a folder of data of its own and, for each request, the answer of the day. What made the answer is
left out, since versions move on; so are findings, since checks are added, and how a line says that its quantity came
about, since words are mended. `python -m tests.test_replay` adds the answer of a request that has none; one that is
there is never written again.
"""

import json
from pathlib import Path

import msgspec
import pytest

from tallyplate.contract.refusals import UnknownVersion
from tallyplate.installation import Installation, compose
from tests.plates import ROOT, installation

REPLAY = ROOT / "tests" / "replay"
REQUESTS = sorted(REPLAY.glob("*.request.json"))


def _installation() -> Installation:
    here = installation()
    return compose(here.families, here.modules, REPLAY / "data")


def _answer(request: Path, here: Installation) -> bytes:
    return _binding(here.price_json(request.read_bytes()))


def _binding(answered: bytes) -> bytes:
    """What of an answer binds: all but what may be said otherwise one day."""
    answer = msgspec.json.decode(answered)
    for free in ("versions", "findings"):
        answer.pop(free, None)
    for line in answer["lines"]:
        line.pop("basis", None)
    return msgspec.json.format(msgspec.json.encode(answer), indent=1) + b"\n"


def _kept(request: Path) -> Path:
    return request.with_name(request.name.replace(".request.", ".answer."))


def test_there_are_prices_to_replay() -> None:
    assert len(REQUESTS) >= 4


@pytest.mark.parametrize("request_file", REQUESTS, ids=lambda file: file.name.removesuffix(".request.json"))
def test_an_old_price_is_made_again_to_the_byte(request_file: Path) -> None:
    assert _answer(request_file, _installation()) == _binding(_kept(request_file).read_bytes())


def test_a_price_is_made_again_from_the_digests_that_it_names_though_later_cards_are_in_force() -> None:
    here = _installation()
    for file in REQUESTS:
        request, kept = json.loads(file.read_bytes()), json.loads(_kept(file).read_bytes())
        request["as_of"] = kept["as_of"]
        request["pins"] = {name: kept[name]["digest"] for name in ("rate_card", "shop_data")}
        assert here.price(request).total == kept["total"]


def test_a_digest_that_is_no_longer_here_is_refused_by_name() -> None:
    request = json.loads(REQUESTS[0].read_bytes()) | {"pins": {"rate_card": "0" * 64}}
    with pytest.raises(UnknownVersion, match="is not here; here are: replay-2024"):
        _installation().price(request)


if __name__ == "__main__":
    for missing in (file for file in REQUESTS if not _kept(file).exists()):
        _kept(missing).write_bytes(_answer(missing, _installation()))
