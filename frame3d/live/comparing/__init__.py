"""Two bikes beside each other: what can be compared, and the table of their differences."""
