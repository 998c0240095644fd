"""Buying: needs, suppliers, the order."""
