"""Safety: enquiry and take-off in, method statement out. Pure."""
