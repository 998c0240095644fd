"""Hours of labour, hours of waiting, and the days they make."""
