"""Weight on the wheels on slopes and under brakes."""
