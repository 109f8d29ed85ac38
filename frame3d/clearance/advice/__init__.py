"""Changes that make a failing check pass, and the largest parts that fit."""
