"""The shape of a roof: outline, openings, edges, joints for movement."""
