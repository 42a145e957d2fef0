"""What a pole has to carry at a stage, and whether it stands it; methods and data are files."""
