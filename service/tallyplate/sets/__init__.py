"""Several plates in one order: read, priced as a whole, and said in both forms."""
