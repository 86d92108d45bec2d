"""What stands around the application, outermost first: ending, in time, not too often, known, admitted."""

from litestar.types import ASGIApp

from tallyplate.access.gate import Gate
from tallyplate.http.admission import Admitted, Lanes
from tallyplate.http.deadlines import Dated
from tallyplate.http.drain import Drain, Draining
from tallyplate.http.guard import Identified
from tallyplate.http.limits import Limits
from tallyplate.http.throttle import Buckets, Throttled, address, key


def guarded(app: ASGIApp, gate: Gate, limits: Limits, lanes: Lanes, drain: Drain) -> ASGIApp:
    """An application that is protected from its callers, and its callers from each other."""
    app = Admitted(app, limits, lanes)
    if limits.key_rate:
        app = Throttled(app, Buckets(limits.key_rate, limits.key_burst, limits.callers), key, "key")
    app = Identified(app, gate)
    if limits.address_rate:
        app = Throttled(app, Buckets(limits.address_rate, limits.address_burst, limits.callers), address, "address")
    return Draining(Dated(app, limits), drain)
