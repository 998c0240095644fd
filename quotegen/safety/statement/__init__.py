"""Putting together the method statement and the construction phase plan."""
