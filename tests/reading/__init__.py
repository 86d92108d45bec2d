"""Reading requests from notes: the notes themselves, the rules, and what no text may do."""
