"""Things placed in space, and distances between them."""
