"""Papers for whoever works on the roof."""
