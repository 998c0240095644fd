"""The paper for the owner alone."""
