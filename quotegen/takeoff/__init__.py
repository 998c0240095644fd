"""The take-off: how much of everything a roof takes. Pure: records in, records out."""
