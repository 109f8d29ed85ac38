"""How a bike fits its rider and rides: mechanics of rider and bicycle together."""
