"""The body on the bike."""
