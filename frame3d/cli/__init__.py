"""Commands, their options, and what a terminal shows."""
