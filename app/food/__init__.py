"""What a kitchen knows: measures, allergens, limits."""
