"""Frozen records that travel between the floors: no arithmetic, no reading or writing."""
