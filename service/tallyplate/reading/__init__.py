"""Reading a request from a free-text note: what is certain is filled and quoted, everything else is handed back.

A note becomes tokens with their places in it (`tokens`), tokens become items such as lengths, screws and dates
(`items`), and phrases about items (`phrases`) become statements. A statement is taken only where nothing near it takes
it back (`doubts`), where its unit is said or follows from a stated rule (`units_said`), and where no other contradicts
it (`settling`). Nothing here guesses: what could mean two things is left open, with its meanings.
"""
