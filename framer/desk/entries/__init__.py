"""Fields that take typed lengths and words."""
