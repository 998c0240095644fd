"""Papers for the people on the roof."""
