"""Job files: reading, writing, recovery."""
