"""What people look at and keep: charts and tables. Documents know figures and texts, not where they come from."""
