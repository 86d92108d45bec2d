"""Corner plates and serial plates of Quillan Toolworks, an invented firm."""
