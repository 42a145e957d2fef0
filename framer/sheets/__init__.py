"""Pictures as DXF, PDF and SVG; lists as CSV, XLSX and JSON."""
