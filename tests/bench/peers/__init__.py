"""One model of fifteen lines in general-purpose libraries that people would use for it, and in our engine."""
