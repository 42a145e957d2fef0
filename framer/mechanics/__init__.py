"""Engineering formulas on plain numbers; no documents."""
