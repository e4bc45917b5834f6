"""Values that somebody else printed or computed; the tables name their sources."""
