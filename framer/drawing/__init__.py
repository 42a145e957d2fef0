"""Scene and findings as a picture of primitives, one model for screen and paper."""
