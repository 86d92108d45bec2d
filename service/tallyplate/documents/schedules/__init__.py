"""What the shop builds from, in tables: every hole, the types of hole, and the parts."""
