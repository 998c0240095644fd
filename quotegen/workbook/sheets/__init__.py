"""The declaration of every sheet: what may stand in each of its columns."""
