"""How the bike steers: trail as a lever, turned bars, and the linearised bicycle."""
