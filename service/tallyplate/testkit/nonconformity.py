"""What a failed check raises. Alone in its file, so that the pytest plugin loads nothing else."""


class Nonconforming(AssertionError):  # noqa: N818 - of a plugin, not of the kit
    """A plugin that does not keep what a check holds: what was found, where, and what to do about it."""
