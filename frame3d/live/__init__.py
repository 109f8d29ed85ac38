"""The workspace: a local page that shows the bike while its file is edited."""
