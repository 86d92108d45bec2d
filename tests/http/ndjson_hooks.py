"""How requests and answers of a line each go on the wire, told to schemathesis: one request is a batch of one line."""

from typing import Any

import msgspec
import schemathesis

NDJSON = "application/x-ndjson"


@schemathesis.serializer(NDJSON)
def one_line(_: schemathesis.SerializationContext, value: Any) -> Any:
    return value if isinstance(value, bytes) else msgspec.json.encode(value) + b"\n"


@schemathesis.deserializer(NDJSON)
def the_one_answer(_: schemathesis.DeserializationContext, response: schemathesis.Response) -> Any:
    (line,) = response.content.splitlines()
    return msgspec.json.decode(line)
