"""In and out: day files and other people's formats."""
