"""The firm's own numbers: what jobs really took, and how far a price holds."""
