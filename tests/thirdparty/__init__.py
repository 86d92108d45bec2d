"""Plugins of an invented firm, and what becomes of them when they are installed beside ours."""
