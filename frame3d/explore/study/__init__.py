"""What a study says: which numbers of a bike's file vary, what must hold, and what is better."""
