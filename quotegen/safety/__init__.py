"""How not to hurt anyone. Pure: enquiry and take-off in, method statement out."""
