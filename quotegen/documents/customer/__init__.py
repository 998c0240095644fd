"""Papers for whoever pays."""
