"""The plugins that Tallyplate ships: plate families, cost modules, and the demonstration's card and shop data."""

from pathlib import Path

DATA = Path(__file__).parent / "data"
"""The demonstration's folder: an invented firm's rate card and shop data."""
