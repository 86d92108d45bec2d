"""Values that whoever is handed them may pass on but not look at: proof that what was made does not depend on them."""

from typing import Any, Final, NoReturn


class Looked(BaseException):
    """Somebody looked at an opaque value. No `Exception`, so that nobody who catches those goes on as if nothing was.

    `at` is the value that was looked at.
    """

    def __init__(self, at: object) -> None:
        super().__init__("an opaque value was looked at")
        self.at = at


class Opaque:
    """Stands for any of some values. Comparing, counting with, hashing, printing it or asking its kind is looking.

    What cannot be seen is `is` and `type(...)`; neither tells one of the values from another.
    """

    __slots__ = ("values",)

    def __init__(self, values: tuple[Any, ...] = ()) -> None:
        self.values = values

    def __getattr__(self, name: str) -> NoReturn:
        raise Looked(self)

    @property  # type: ignore[misc]  # a class may not say of another value what it is, and this one says nothing
    def __class__(self) -> NoReturn:  # type: ignore[override]  # what `isinstance` asks
        raise Looked(self)


OPERATIONS: Final = (
    "lt", "le", "eq", "ne", "gt", "ge", "hash", "bool", "len", "iter", "next", "contains", "getitem", "str", "repr",
    "format", "bytes", "int", "float", "index", "complex", "round", "trunc", "floor", "ceil", "neg", "pos", "abs",
    "invert", "add", "sub", "mul", "truediv", "floordiv", "mod", "divmod", "pow", "matmul", "and", "or", "xor",
    "lshift", "rshift", "radd", "rsub", "rmul", "rtruediv", "rfloordiv", "rmod", "rdivmod", "rpow", "rmatmul",
    "rand", "ror", "rxor", "rlshift", "rrshift", "call", "fspath", "reduce_ex", "copy", "deepcopy",
)  # fmt: skip
"""All that Python lets a value answer to, without the underscores."""


def _look(self: Opaque, *_: object, **__: object) -> NoReturn:
    raise Looked(self)


for _operation in OPERATIONS:
    setattr(Opaque, f"__{_operation}__", _look)
