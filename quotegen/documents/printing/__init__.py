"""Printing: from a filled template to a PDF or a workbook."""
