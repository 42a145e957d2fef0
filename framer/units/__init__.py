"""The edge between people's numbers and ours: text, units, rounding, and the one comparison."""
