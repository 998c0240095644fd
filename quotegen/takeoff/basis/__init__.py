"""The basis of every part of the take-off: one build-up of one roof, and the cost of packs."""
