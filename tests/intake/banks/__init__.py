"""Entries and units as another hand wrote them down, each with what a fair teacher makes of it."""
