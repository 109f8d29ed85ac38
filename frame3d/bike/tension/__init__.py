"""What tensions the chain: an axle that slides in its dropouts, an eccentric insert that turns."""
