"""What would mend a failing check, and which tyres or chainrings fit."""
