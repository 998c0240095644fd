"""The firm's own numbers: what jobs took, and what that says."""
