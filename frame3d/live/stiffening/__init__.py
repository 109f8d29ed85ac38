"""The panel on stiffness: the bike beside the one that it is compared with, as it changes."""
