"""The shape of a roof: outline, openings, edge zone, expansion joints."""
