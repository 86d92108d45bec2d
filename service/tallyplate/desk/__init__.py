"""The page for the person on the telephone: files that are served as they are, and speak the public API alone."""
