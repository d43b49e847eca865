"""What the planner is held against from outside: published figures, each with its source."""
