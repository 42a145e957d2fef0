"""What stands beside and below the sheet, always at hand."""
