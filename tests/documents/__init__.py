"""Charts and tables."""
