"""What opens for one purpose and is closed again."""
