"""Hours of labour and waiting, and the days they add up to."""
