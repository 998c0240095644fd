"""Workbooks made from the user's own, which stays as it is: a marked copy, and one carried over."""
