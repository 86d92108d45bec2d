"""Bulk runs: in one process where that shows enough, as the installed command where processes matter."""
