"""Writing workbooks to hand out."""
