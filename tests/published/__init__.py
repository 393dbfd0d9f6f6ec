"""Checks of the main job against values that others published; the source stands beside each."""
