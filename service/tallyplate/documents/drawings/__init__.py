"""Drawings of a build: one sheet of plain shapes on layers, written as SVG and as DXF."""
