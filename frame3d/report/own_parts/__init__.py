"""The page's explanations of the bike's main parts, each with a picture of this bike's own."""
