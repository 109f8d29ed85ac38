"""How the bike steers: torques at the bar, and the front that drops."""
