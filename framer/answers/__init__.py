"""Answers worked out from whole jobs: what follows from a change, and what to do next."""
