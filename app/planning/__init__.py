"""From a day to a plan, proved as good as it can be. Pure: no clock, files, network or database."""
