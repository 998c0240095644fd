"""Papers that keep people safe."""
