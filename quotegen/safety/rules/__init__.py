"""The rule tables applied: which dangers there are, and what we do about each."""
