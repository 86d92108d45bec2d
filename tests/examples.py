"""The examples of `openapi/examples`: requests written by hand, and answers that the service gave.

`python -m tests.examples` writes the answers again.
"""

from pathlib import Path

import msgspec
from structlog.testing import capture_logs

from tallyplate.http.app import create_app
from tests.plates import EXAMPLES, installation
from tests.serving import Ask, asking

ANSWER = ".answer.json"


def requests() -> list[Path]:
    """The example requests."""
    return [file for file in sorted(EXAMPLES.glob("*.json")) if not file.name.endswith(ANSWER)]


def answer_file(request: Path) -> Path:
    """Where the answer to an example stands."""
    return request.with_name(request.stem + ANSWER)


def is_set(request: Path) -> bool:
    """Whether an example is of several plates in one order."""
    return "plates" in msgspec.json.decode(request.read_bytes())


def answered(ask: Ask, request: Path) -> bytes:
    """The service's answer to an example, laid out for reading."""
    path = "/v1/sets" if is_set(request) else "/v1/prices"
    response = ask("POST", path, content=request.read_bytes(), headers={"content-type": "application/json"})
    return msgspec.json.format(response.content, indent=2) + b"\n"


def main() -> None:
    """Write every answer."""
    ask = asking(create_app(installation()))
    with capture_logs():
        for request in requests():
            answer_file(request).write_bytes(answered(ask, request))


if __name__ == "__main__":
    main()
