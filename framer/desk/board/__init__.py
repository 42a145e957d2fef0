"""The sheet on screen: views, what is drawn in them, and what mouse and keys do there."""
