"""Rate cards and shop data: loaded, checked by dimension, dated, and named by digest."""
