"""Everything that a file implies besides tubes, a module for each part of the bike."""
