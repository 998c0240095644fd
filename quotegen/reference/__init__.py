"""Published values, one subject per file, and the house defaults, read by a strict loader."""
