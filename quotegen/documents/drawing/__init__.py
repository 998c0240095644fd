"""Drawings: the plan of a roof, signs, the chart of a day."""
