"""framer drafts the framing of power-line poles and checks every step of a pole change-out."""

__version__ = "0.1.0"
