"""The file itself: a zip of XML parts, read to cells, with limits."""
