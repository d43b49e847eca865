"""Plain values to HTML to PDF."""
