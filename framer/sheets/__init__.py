"""Pictures and lists as DXF, PDF, SVG and CSV."""
