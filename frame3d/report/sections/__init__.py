"""Sections of the page, one module each: from a bike to markup that stands without scripts."""
