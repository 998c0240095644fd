"""Published values, one subject a file, and the house defaults; both read by a strict loader."""
