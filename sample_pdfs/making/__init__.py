"""Draws the invented client folders beside this package."""
