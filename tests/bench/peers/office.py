"""The model in a sheet of a general-purpose office engine, which stays open and recalculates at each request.

Needs `soffice` and its Python bridge `uno`, such as Debian's libreoffice-calc-nogui and python3-uno bring.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any, Final

import msgspec

from tests.bench.peers.model import INPUTS, LINES, Answer, Contender

BRIDGES: Final = ("/usr/lib/python3/dist-packages", "/usr/lib/libreoffice/program")
"""Where the bridge lies if not in our own environment."""

PATIENCE: Final = 60.0
TIE: Final = "0.000000001"


@contextmanager
def office() -> Iterator[Contender]:
    """The engine, started and ended; raises `ModuleNotFoundError` where it or its bridge is absent."""
    command = shutil.which("soffice")
    if command is None:
        raise ModuleNotFoundError(name="soffice")
    uno = _bridge()
    with tempfile.TemporaryDirectory() as profile:
        pipe = f"pipe,name=tallyplate{os.getpid()}"
        options = ["--headless", "--norestore", "--nologo", f"-env:UserInstallation={Path(profile).as_uri()}"]
        started = subprocess.Popen([command, *options, f"--accept={pipe};urp;"], stderr=subprocess.DEVNULL)
        try:
            desktop = _desktop(uno, pipe)
            hidden = uno.createUnoStruct("com.sun.star.beans.PropertyValue")
            hidden.Name, hidden.Value = "Hidden", True
            book = desktop.loadComponentFromURL("private:factory/scalc", "_blank", 0, (hidden,))
            yield _sheet(book)
            book.close(True)
        finally:
            started.terminate()
            started.wait(timeout=PATIENCE)


def _bridge() -> Any:
    try:
        return import_module("uno")
    except ModuleNotFoundError:
        sys.path += BRIDGES
    return import_module("uno")


def _desktop(uno: Any, pipe: str) -> Any:
    here = uno.getComponentContext()
    resolver = here.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", here)
    until = time.monotonic() + PATIENCE
    while True:
        try:
            there = resolver.resolve(f"uno:{pipe};urp;StarOffice.ComponentContext")
        except Exception:  # The bridge's own, which tells no more than that nobody listens yet.
            if time.monotonic() > until:
                raise
            time.sleep(0.1)
        else:
            return there.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", there)


def _sheet(book: Any) -> Contender:
    """Inputs in column A, lines in column B, their total below."""
    sheet = book.Sheets.getByIndex(0)
    cells = {name: f"A{row}" for row, name in enumerate(INPUTS, start=1)}
    formulas = [re.sub(r"[a-z_]+", lambda found: cells[found[0]], line.formula) for line in LINES]
    told = sheet.getCellRangeByName(f"B1:B{len(LINES) + 1}")
    rounded = (
        (f"=ROUND(ROUND({formula}+{TIE};{line.decimals})*{line.rate}+{TIE};2)",)
        for formula, line in zip(formulas, LINES, strict=True)
    )
    told.setFormulaArray((*rounded, (f"=SUM(B1:B{len(LINES)})",)))
    given = sheet.getCellRangeByName(f"A1:A{len(INPUTS)}")

    def answer(body: bytes) -> Answer:
        plate = msgspec.json.decode(body)
        given.setDataArray(tuple((plate[name],) for name in INPUTS))
        amounts = [amount for (amount,) in told.getDataArray()]
        return dict(zip([line.name for line in LINES], amounts[:-1], strict=True)), amounts[-1]

    return answer
