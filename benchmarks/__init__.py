"""Timings, run by `make bench`; the numbers go into docs/performance.md."""
