"""The rule tables applied: which dangers there are, and what is done about each."""
