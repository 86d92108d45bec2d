"""The firm's own tests need its package installed: they are run where it is, not collected here."""

collect_ignore = ["quillan"]
