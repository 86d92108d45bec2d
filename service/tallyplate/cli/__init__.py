"""The command line: every command says what the service says, and 0, 1 or 2 for done, refused or wrongly called."""
