"""What a person can change, a function each; every change is recorded."""
