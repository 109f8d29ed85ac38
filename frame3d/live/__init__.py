"""A page on this machine that shows the bike while its file is edited."""
