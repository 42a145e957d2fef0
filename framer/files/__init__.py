"""Job files: reading, writing whole, locks, autosave; files of others that are read in."""
