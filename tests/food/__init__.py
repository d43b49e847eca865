"""What a kitchen knows, against what the books say."""
