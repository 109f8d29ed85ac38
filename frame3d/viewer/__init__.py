"""The bike in 3D in a browser."""
