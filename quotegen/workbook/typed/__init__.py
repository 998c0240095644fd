"""What people type into cells: figures with their units, days, and words of a list."""
