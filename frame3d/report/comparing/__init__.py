"""Bikes side by side: what differences mean, as data, as a table, as one page."""
