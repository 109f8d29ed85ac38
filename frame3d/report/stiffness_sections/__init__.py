"""The page's section on stiffness: pictures of the load cases, energy shares, what a gram does."""
