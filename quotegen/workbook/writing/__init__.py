"""Workbooks to hand out."""
