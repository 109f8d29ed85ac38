"""Parts of the scale model, one maker each."""
