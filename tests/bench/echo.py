"""A bare echo on the same framework and server: decodes a request of ours, encodes an answer of ours, does nothing."""

import sys
from pathlib import Path

import msgspec
import uvicorn
from litestar import Litestar, post
from litestar.params import JSONBody

from tallyplate.answers import PriceAnswer


class Request(msgspec.Struct):
    """As loose as can be."""

    plate: dict[str, object]
    quantity: int
    as_of: str


def main() -> None:
    """Serve on a port, with the answer in a file."""
    port, file = int(sys.argv[1]), Path(sys.argv[2])
    answer = msgspec.json.decode(file.read_bytes(), type=PriceAnswer)

    @post("/v1/prices", status_code=200)
    async def echo(data: JSONBody[Request]) -> PriceAnswer:
        return answer

    uvicorn.run(Litestar([echo], openapi_config=None), port=port, access_log=False, log_level="warning")


if __name__ == "__main__":
    main()
