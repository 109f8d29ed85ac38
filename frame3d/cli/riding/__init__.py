"""How a bike rides, on a terminal: one module a topic."""
