"""Workbooks (.xlsx) in and out; the user's workbook is only ever read."""
