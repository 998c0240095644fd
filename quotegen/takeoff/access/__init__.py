"""How the roof is reached and its edges guarded."""
