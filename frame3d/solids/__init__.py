"""solids"""
