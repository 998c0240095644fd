"""How much money. Pure: take-off and settings in, quote out."""
