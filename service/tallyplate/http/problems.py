"""Every refusal as RFC 9457 problem details: the one place that maps what went wrong to an HTTP answer."""

from http import HTTPStatus
from typing import Final

import msgspec
from msgspec import Struct

from tallyplate.contract import Fault, Refusal

MEDIA_TYPE: Final = "application/problem+json"

STATUS: Final = {
    "malformed-json": HTTPStatus.BAD_REQUEST,
    "unauthorized": HTTPStatus.UNAUTHORIZED,
    "forbidden": HTTPStatus.FORBIDDEN,
    "not-found": HTTPStatus.NOT_FOUND,
    "method-not-allowed": HTTPStatus.METHOD_NOT_ALLOWED,
    "version-unavailable": HTTPStatus.CONFLICT,
    "misdirected": HTTPStatus.MISDIRECTED_REQUEST,
    "precondition-failed": HTTPStatus.PRECONDITION_FAILED,
    "slow-request": HTTPStatus.REQUEST_TIMEOUT,
    "too-large": HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
    "not-json": HTTPStatus.UNSUPPORTED_MEDIA_TYPE,
    "not-acceptable": HTTPStatus.NOT_ACCEPTABLE,
    "invalid-request": HTTPStatus.UNPROCESSABLE_ENTITY,
    "too-many-requests": HTTPStatus.TOO_MANY_REQUESTS,
    "head-too-large": HTTPStatus.REQUEST_HEADER_FIELDS_TOO_LARGE,
    "overloaded": HTTPStatus.SERVICE_UNAVAILABLE,
    "no-quote-keys": HTTPStatus.NOT_IMPLEMENTED,
    "not-ready": HTTPStatus.SERVICE_UNAVAILABLE,
    "plugin-failure": HTTPStatus.INTERNAL_SERVER_ERROR,
    "internal-error": HTTPStatus.INTERNAL_SERVER_ERROR,
}
"""The status of each kind of problem."""

TITLES: Final = {
    "malformed-json": "The body is not JSON",
    "unauthorized": "Credentials are needed",
    "forbidden": "The credentials do not allow this",
    "not-found": "There is nothing at this address",
    "method-not-allowed": "This address does not take this method",
    "misdirected": "The request was meant for another host",
    "version-unavailable": "A pinned version is not here",
    "precondition-failed": "A condition of the request does not hold",
    "slow-request": "The request did not come in time",
    "too-large": "The body is too large",
    "not-json": "The body's media type is not JSON",
    "not-acceptable": "No format on offer is accepted",
    "invalid-request": "The request cannot be priced as it stands",
    "too-many-requests": "One caller makes too many requests",
    "head-too-large": "The headers are too large",
    "overloaded": "The service has more to do than it can",
    "no-quote-keys": "This service signs no quotes",
    "not-ready": "No rates or shop data are in force yet",
    "plugin-failure": "A plugin failed",
    "internal-error": "The service failed",
}


class Problem(Struct, frozen=True):
    """RFC 9457 problem details; `errors` names every bad field."""

    type: str
    title: str
    status: int
    detail: str
    errors: tuple[Fault, ...] = ()


def problem(code: str, detail: str, errors: tuple[Fault, ...] = ()) -> Problem:
    """A problem of a known kind."""
    return Problem(f"/problems/{code}", TITLES[code], int(STATUS[code]), detail, errors)


def refused(refusal: Refusal) -> Problem:
    """A refusal as a problem."""
    count = len(refusal.faults)
    detail = refusal.faults[0].message if count == 1 else f"{count} fields are at fault; each is named in errors"
    return problem(refusal.code, detail, refusal.faults)


def encoded(what: Problem) -> bytes:
    """A problem as JSON."""
    return msgspec.json.encode(what)
