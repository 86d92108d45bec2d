"""The HTTP face: routes, problem details, limits, logs and metrics around an installation."""
