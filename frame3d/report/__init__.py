"""The bike as one page that opens anywhere, and the viewer that page and workspace share."""
