"""Who calls, and what they may see and do: keys, tokens of identity providers, scopes. Knows no HTTP framework."""
