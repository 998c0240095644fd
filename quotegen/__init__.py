"""From one spreadsheet row to a quote, an order and a safe method for a fibreglass flat roof."""
