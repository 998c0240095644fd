"""A job's figures, as data and as plain text."""
