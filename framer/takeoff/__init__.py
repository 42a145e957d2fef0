"""Material list and what it counts: bores, bolts, jumpers; prices, estimate, revisions."""
