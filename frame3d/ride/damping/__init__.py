"""Dampers, natural frequencies and energy, front and rear.

`damper` has the force over shaft speed, `free_return` what a filmed return tells, `wheel` the closed
forms at the wheel, `sprung_wheel` and `oscillation` the body's return on the nonlinear spring, `modes`
masses on several springs. They know nothing of a bike; `of_bike` does.
"""
