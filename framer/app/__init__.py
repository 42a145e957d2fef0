"""Start-up: command line, window entry, first-time set-up."""
