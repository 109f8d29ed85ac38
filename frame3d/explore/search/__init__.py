"""Search: designs of a box that meet every wish, and are best, by evolution and a polish at the end."""
