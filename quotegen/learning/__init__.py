"""The firm's own numbers: what jobs really took, and how safe a price is."""
