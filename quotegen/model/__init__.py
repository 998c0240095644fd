"""Frozen records passed between the floors: no arithmetic, no reading or writing."""
