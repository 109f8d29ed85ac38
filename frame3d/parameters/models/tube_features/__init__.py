"""What stands on a tube or is cut into it: ``features:`` under a tube."""
