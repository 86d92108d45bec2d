"""How deep JSON is nested, told from its bytes before anything is built from it."""

import re
from typing import Final

from tallyplate.contract import Fault
from tallyplate.http.problems import Problem, problem

_SIGNS: Final = re.compile(rb'"(?:[^"\\]|\\.)*"|[\[\]{}]', re.DOTALL)


def nested(body: bytes | bytearray, most: int) -> Problem | None:
    """The problem of JSON whose objects and lists stand more than `most` deep in each other."""
    if not _deeper(body, most):
        return None
    fault = Fault("", f"is nested too deep; accepted: at most {most} objects and lists in each other")
    return problem("malformed-json", fault.message, (fault,))


def _deeper(body: bytes | bytearray, most: int) -> bool:
    if body.count(b"{") + body.count(b"[") <= most:
        return False
    depth = 0
    for sign in _SIGNS.finditer(body):
        if sign[0] in b"{[":
            depth += 1
            if depth > most:
                return True
        elif sign[0] in b"]}":
            depth -= 1
    return False
