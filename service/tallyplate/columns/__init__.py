"""Many plates at once: the same formulas over columns of figures, parted where plates differ in more than figures."""
