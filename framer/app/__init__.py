"""Command line, first-time set-up, and what is looked at before a start."""
