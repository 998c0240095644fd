"""The workbook file: a zip of XML parts, read into cells within limits."""
