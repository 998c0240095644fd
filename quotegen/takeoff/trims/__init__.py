"""Trims: which goes where, how they are cut from the lengths sold, how they are fixed."""
