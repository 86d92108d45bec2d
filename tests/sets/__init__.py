"""Several plates in one order."""
