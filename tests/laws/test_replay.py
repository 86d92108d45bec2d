"""Law 7: the same request gives the same bytes in any process, whatever its hash seed, time zone or language."""

import json
import os
import subprocess
import sys
from datetime import date
from typing import Final

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tallyplate.contract import Refusal
from tests.laws.prices import answered
from tests.plates import MINIMAL, ROOT, installation
from tests.strategies import Json, requests

ELSEWHERE: Final = """
import decimal, locale, sys

hostile = decimal.Context(prec=2, rounding=decimal.ROUND_UP, traps=[decimal.Inexact])
decimal.DefaultContext = hostile
decimal.setcontext(hostile)
try:
    locale.setlocale(locale.LC_ALL, "")
except locale.Error:
    pass  # this machine has no such language

import tallyplate
from tallyplate.contract import Refusal

installation = tallyplate.load()
for line in sys.stdin.buffer:
    try:
        print(installation.price_json(line.strip()).decode())
    except Refusal as refusal:
        print(refusal)
"""
"""Prices a request a line, in a process whose decimals are as unlike this one's as can be."""

PROCESSES: Final = (
    {"PYTHONHASHSEED": "1", "TZ": "Pacific/Kiritimati", "LC_ALL": "de_DE.UTF-8"},
    {"PYTHONHASHSEED": "4294967295", "TZ": "America/Adak", "LC_ALL": "tr_TR.UTF-8"},
    {"PYTHONHASHSEED": "77", "TZ": "", "LC_ALL": "C", "PYTHONOPTIMIZE": "2"},
)


def here(request: bytes) -> str:
    """The answer of this process."""
    try:
        return installation().price_json(request).decode()
    except Refusal as refusal:
        return str(refusal)


def elsewhere(requests: list[bytes], environment: dict[str, str]) -> list[str]:
    """The answers of another process."""
    command = [sys.executable, "-c", ELSEWHERE]
    inherited = {name: value for name, value in os.environ.items() if name in {"PATH", "PYTHONPATH"}}
    done = subprocess.run(
        command,
        input=b"\n".join(requests),
        capture_output=True,
        env=inherited | {"PYTHONIOENCODING": "utf-8"} | environment,
        cwd=ROOT,
        timeout=60,
        check=True,
    )
    return done.stdout.decode().splitlines()


@given(requests(), st.dates(date(2026, 1, 1), date(2099, 12, 31)))
def test_a_request_that_states_its_date_gives_the_same_bytes_on_any_day(request: Json, day: date) -> None:
    assert answered(request, day) == answered(request)


@pytest.mark.parametrize("environment", PROCESSES, ids=lambda environment: environment["LC_ALL"])
@settings(max_examples=2, phases=[Phase.explicit, Phase.generate])
@given(st.lists(requests(), min_size=15, max_size=25))
def test_the_same_requests_give_the_same_bytes_in_another_process(
    environment: dict[str, str], orders: list[Json]
) -> None:
    asked = [json.dumps(order).encode() for order in (MINIMAL, *orders)]
    assert elsewhere(asked, environment) == list(map(here, asked))
