"""Tests of who does the work."""
