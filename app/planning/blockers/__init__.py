"""What stands in the way: smallest sets of facts of a day that cannot hold together."""
