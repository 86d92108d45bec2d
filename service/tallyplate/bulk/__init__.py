"""Many plates from a file to a file, on all cores, to be killed at any time and taken up again.

The input is cut into shards, by its bytes alone. Each shard is priced by itself, and a record of what it came to
commits it. When all are there they are joined in order: so the outputs are the same whatever the number of workers, and
whatever happened in between.
"""
