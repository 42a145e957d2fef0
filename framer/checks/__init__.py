"""Rulebooks, measures, and the engine that turns a scene into findings."""
