"""A bare echo in the most popular typed framework (FastAPI with pydantic), on the same server as ours."""

import sys
from pathlib import Path
from typing import Any

import uvicorn
from fastapi import FastAPI
from pydantic import BaseModel, ConfigDict


class Request(BaseModel):
    """As loose as can be."""

    plate: dict[str, object]
    quantity: int
    as_of: str


class Answer(BaseModel):
    """The fields of an answer, its parts as they come."""

    model_config = ConfigDict(extra="allow")

    currency: str
    quantity: int
    total: str
    lines: list[dict[str, Any]]


def main() -> None:
    """Serve on a port, with the answer in a file."""
    port, file = int(sys.argv[1]), Path(sys.argv[2])
    answer = Answer.model_validate_json(file.read_bytes())
    app = FastAPI(openapi_url=None)

    @app.post("/v1/prices")
    async def echo(data: Request) -> Answer:
        return answer

    uvicorn.run(app, port=port, access_log=False, log_level="warning")


if __name__ == "__main__":
    main()
