"""Visits: what was measured, treated and recorded, and what it gave."""
