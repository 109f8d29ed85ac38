"""The report: the bike as one self-contained HTML page."""
