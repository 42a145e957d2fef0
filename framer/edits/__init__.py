"""Pure functions from job to job, and their history."""
