"""spec"""
