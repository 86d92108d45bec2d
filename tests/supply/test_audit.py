"""The three ends of an audit, against an advisory source on this machine that speaks the protocol of osv.dev.

Source of the answers' shape: the Open Source Vulnerability schema, version 1, as pip-audit reads it.
"""

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from tests.serving import free_port
from tests.supply.audit import FOUND, NOT_AUDITED, audit, judged

LOCK = f"invented==1.0 --hash=sha256:{'0' * 64}\nother==2.0 --hash=sha256:{'1' * 64}\n"
ADVISORY = {
    "id": "INVENTED-1",
    "summary": "an invented vulnerability",
    "affected": [
        {
            "package": {"name": "invented", "ecosystem": "PyPI"},
            "ranges": [{"type": "ECOSYSTEM", "events": [{"introduced": "0"}, {"fixed": "1.1"}]}],
        }
    ],
}


@pytest.fixture
def lock(tmp_path: Path) -> Path:
    path = tmp_path / "a.lock"
    path.write_text(LOCK, encoding="utf-8")
    return path


@contextmanager
def _source(vulnerable: str, status: int = 200) -> Iterator[str]:
    """The address of a source that knows of one vulnerable package."""

    class Answering(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            asked = json.loads(self.rfile.read(int(self.headers["content-length"])))
            answer = {"vulns": [ADVISORY]} if asked["package"]["name"] == vulnerable else {}
            content = json.dumps(answer).encode()
            self.send_response(status)
            self.send_header("content-length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, *_: object) -> None: ...

    with ThreadingHTTPServer(("127.0.0.1", 0), Answering) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_port}/v1/query"
        finally:
            server.shutdown()
            thread.join()


def _options(url: str) -> list[str]:
    return ["--vulnerability-service=osv", f"--osv-url={url}"]


def test_where_a_source_knows_of_none_it_says_how_many_were_looked_up(lock: Path) -> None:
    with _source("nobody") as url:
        assert audit(lock, _options(url)) == (0, "no known vulnerability in 2 packages")


def test_a_known_vulnerability_is_named_with_what_mends_it(lock: Path) -> None:
    with _source("invented") as url:
        assert audit(lock, _options(url)) == (FOUND, "invented 1.0: INVENTED-1 (mended in: 1.1)")


def test_without_a_source_nothing_is_said_to_be_audited(lock: Path) -> None:
    code, message = audit(lock, _options(f"http://127.0.0.1:{free_port()}/v1/query"))
    assert code == NOT_AUDITED
    assert message.startswith("not audited: ")


def test_a_source_that_fails_is_no_source(lock: Path) -> None:
    with _source("nobody", status=500) as url:
        assert audit(lock, _options(url))[0] == NOT_AUDITED


SKIPPED = {"name": "a", "skip_reason": "not found"}
CLEAN = {"name": "b", "version": "1", "vulns": []}
BAD = {"name": "c", "version": "1", "vulns": [{"id": "INVENTED-1", "fix_versions": []}]}


@pytest.mark.parametrize(
    ("report", "code"),
    [([CLEAN], 0), ([CLEAN, SKIPPED], NOT_AUDITED), ([SKIPPED, BAD], FOUND), ([], NOT_AUDITED)],
)
def test_one_package_that_was_not_looked_up_is_enough_and_one_vulnerability_counts_more(
    report: list[dict], code: int
) -> None:
    assert judged(report)[0] == code
