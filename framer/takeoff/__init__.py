"""Material list, bores and bolts."""
