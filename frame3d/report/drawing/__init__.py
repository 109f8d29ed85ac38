"""The bike's side view and plots as SVG."""
