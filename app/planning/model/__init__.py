"""The planner's model for CP-SAT: one file a family of rules, named as in `audit`."""
