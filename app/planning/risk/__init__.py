"""How sure a plan is: the day played many thousand times."""
