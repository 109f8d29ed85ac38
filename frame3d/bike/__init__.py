"""A solved frame, the parts that it carries, and how it stands with them."""
