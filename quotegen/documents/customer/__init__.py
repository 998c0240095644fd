"""Papers for the customer."""
