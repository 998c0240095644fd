"""From cells to records, with every problem at its cell."""
