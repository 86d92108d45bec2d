"""What every problem answer looks like, whatever went wrong."""

import httpx

from tallyplate.http.problems import TITLES


def problem(response: httpx.Response, status: int, code: str) -> dict[str, str]:
    """Hold an answer to RFC 9457 and to our own promises; gives its errors as pointer -> message."""
    assert response.status_code == status, response.text
    assert response.headers["content-type"] == "application/problem+json"
    assert response.headers["x-request-id"]
    body = response.json()
    assert body["type"] == f"/problems/{code}"
    assert body["status"] == status
    assert body["title"] == TITLES[code]
    assert body["detail"]
    assert all(set(error) == {"pointer", "message"} for error in body["errors"])
    pointers = [error["pointer"] for error in body["errors"]]
    assert len(pointers) == len(set(pointers)), "a field is named twice"
    return {error["pointer"]: error["message"] for error in body["errors"]}
