"""Reading: from cells to records, with every problem at its cell."""
