"""A whole pattern as printed, sorted into headings, lines and lists."""
