"""The page's sections on how the bike fits and rides: one module a topic."""
